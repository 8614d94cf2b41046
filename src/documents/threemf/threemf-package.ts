// The package around a 3MF model: which part of the archive is the model, and part names as keys, never as paths.
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { attributeOf, elementName } from '../xml/xml-attribute.ts';
import { scanXml } from '../xml/xml-scanner.ts';
import { listZip, unpackEntry, ZIP_LIMITS, type ZipEntry, type ZipLimits } from '../zip/read-zip.ts';

/** An opened package. `part` unpacks by part name ("/3D/3dmodel.model"; compared without regard to case). */
export interface ThreemfPackage {
  readonly startPart: string;
  part(name: string): Outcome<Uint8Array>;
}

export const THREEMF_WHERE = { where: { path: '3mf' } };
const START_TYPE = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';

/** Opens the archive and follows _rels/.rels to the start part (core specification 1.4, chapter 2.1). */
export function openPackage(bytes: Uint8Array, limits: ZipLimits = ZIP_LIMITS): Outcome<ThreemfPackage> {
  const listed = listZip(bytes, limits);
  if (!listed.ok) return listed;
  const entries = new Map<string, ZipEntry>();
  const twice = new Set<string>();
  for (const entry of listed.value) {
    const key = partKey(entry.name);
    if (entries.has(key)) twice.add(key);
    entries.set(key, entry);
  }
  const part = (name: string): Outcome<Uint8Array> => {
    const key = partKey(name);
    const entry = entries.get(key);
    if (entry === undefined) return broken(`The archive has no part ${JSON.stringify(name.slice(0, 80))}.`);
    if (twice.has(key)) return broken(`The archive has two parts named ${JSON.stringify(name.slice(0, 80))}.`);
    const unpacked = unpackEntry(bytes, entry, limits);
    return unpacked.ok ? done(utf8Of(unpacked.value)) : unpacked;
  };
  if (!entries.has(partKey('/_rels/.rels')))
    return refuse('FILE_KIND_UNKNOWN', 'This is a zip archive, but no 3MF: it has no part "_rels/.rels".', {
      ...THREEMF_WHERE,
      tryThis: 'Unpack the archive and choose one STL or 3MF file in it.',
    });
  const rels = part('/_rels/.rels');
  if (!rels.ok) return rels;
  const start = startPartOf(rels.value);
  return typeof start === 'string' ? done({ startPart: start, part }) : start;
}

export function broken(why: string): Refusal {
  return refuse('FILE_MALFORMED', why, THREEMF_WHERE);
}

function startPartOf(rels: Uint8Array): string | Refusal {
  const targets: string[] = [];
  const trouble = scanXml(rels, {
    open(element) {
      if (elementName(element) !== 'Relationship' || attributeOf(element, 'Type') !== START_TYPE) return null;
      targets.push(attributeOf(element, 'Target') ?? '');
      return null;
    },
    close: () => null,
  });
  if (trouble !== null) return broken(`_rels/.rels: ${trouble.say} (byte ${trouble.at}).`);
  if (targets.length !== 1) return broken(`The package names ${targets.length} start parts; it must name one.`);
  return targets[0]!;
}

/** Part names are compared by letters without case; a target may be given with or without its first slash. */
function partKey(name: string): string {
  return name.replace(/^\/+/, '').toLowerCase();
}

/** 3MF allows UTF-16 as well; it becomes UTF-8 before it is scanned. */
function utf8Of(bytes: Uint8Array): Uint8Array {
  const [a, b] = bytes;
  const label = a === 0xff && b === 0xfe ? 'utf-16le' : a === 0xfe && b === 0xff ? 'utf-16be' : null;
  return label === null ? bytes : new TextEncoder().encode(new TextDecoder(label).decode(bytes));
}
