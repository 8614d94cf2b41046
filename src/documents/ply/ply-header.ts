// The header of a PLY file: which elements follow, with which properties, in which encoding.
import { type Refusal, refuse } from '../../base/findings.ts';
import { harmless } from '../text/text-place.ts';

export type PlyEncoding = 'ascii' | 'little' | 'big';
export type PlyScalar = 'i8' | 'u8' | 'i16' | 'u16' | 'i32' | 'u32' | 'f32' | 'f64';

export interface PlyProperty {
  readonly name: string;
  readonly type: PlyScalar;
  /** Type of the count of a list; null for a single value. */
  readonly countType: PlyScalar | null;
}

export interface PlyElement {
  readonly name: string;
  readonly count: number;
  readonly properties: readonly PlyProperty[];
}

export interface PlyHeader {
  readonly encoding: PlyEncoding;
  readonly elements: readonly PlyElement[];
  /** First byte of the data. */
  readonly dataAt: number;
}

export const PLY_BYTES: Readonly<Record<PlyScalar, number>> = {
  i8: 1,
  u8: 1,
  i16: 2,
  u16: 2,
  i32: 4,
  u32: 4,
  f32: 4,
  f64: 8,
};

/** Reads the header, at most 64 kB, 64 elements and 256 properties each. Counts are compared with the bytes that follow.
 *  Refuses: FILE_MALFORMED, FILE_TRUNCATED. */
export function readPlyHeader(bytes: Uint8Array): PlyHeader | Refusal {
  const elements: { name: string; count: number; properties: PlyProperty[] }[] = [];
  let encoding: PlyEncoding | null = null;
  let at = 0;
  for (let line = 1; ; line++) {
    const found = lineAt(bytes, at);
    if (found === null) return truncated('The header has no end_header line.');
    const words = found.text.trim().split(/\s+/);
    at = found.next;
    const [word] = words;
    if (line === 1 && word !== 'ply') return broken('The file does not begin with "ply".', line);
    if (line === 1 || word === '' || word === 'comment' || word === 'obj_info') continue;
    if (word === 'end_header') break;
    if (word === 'format') {
      encoding = ENCODINGS.get(words[1] ?? '') ?? null;
      if (encoding === null) return broken(`The format ${quoted(words[1])} is not known.`, line);
    } else if (word === 'element') {
      const count = Number(words[2]);
      if (!/^[0-9]+$/.test(words[2] ?? '') || !Number.isSafeInteger(count))
        return broken(`The count ${quoted(words[2])} is no number.`, line);
      if (elements.length >= 64) return broken('The header names more than 64 elements.', line);
      elements.push({ name: words[1]!, count, properties: [] });
    } else if (word === 'property') {
      const property = propertyOf(words);
      const element = elements.at(-1);
      if (property === null || element === undefined) return broken(`${quoted(found.text)} is no property.`, line);
      if (element.properties.length >= 256) return broken('An element has more than 256 properties.', line);
      element.properties.push(property);
    } else return broken(`${quoted(word)} is no word of a PLY header.`, line);
  }
  if (encoding === null) return broken('The header names no format.', 1);
  return doubtCounts({ encoding, elements, dataAt: at }, bytes.length);
}

const ENCODINGS: ReadonlyMap<string, PlyEncoding> = new Map([
  ['ascii', 'ascii'],
  ['binary_little_endian', 'little'],
  ['binary_big_endian', 'big'],
]);

const SCALARS: ReadonlyMap<string, PlyScalar> = new Map([
  ['char', 'i8'],
  ['uchar', 'u8'],
  ['short', 'i16'],
  ['ushort', 'u16'],
  ['int', 'i32'],
  ['uint', 'u32'],
  ['float', 'f32'],
  ['double', 'f64'],
  ['int8', 'i8'],
  ['uint8', 'u8'],
  ['int16', 'i16'],
  ['uint16', 'u16'],
  ['int32', 'i32'],
  ['uint32', 'u32'],
  ['float32', 'f32'],
  ['float64', 'f64'],
]);

const MAX_HEADER_BYTES = 65536;

/** One line and where the next begins; LF, CRLF or CR end it. Null when it has no end. */
function lineAt(bytes: Uint8Array, at: number): { text: string; next: number } | null {
  let text = '';
  for (let i = at; i < bytes.length && i < MAX_HEADER_BYTES; i++) {
    const b = bytes[i]!;
    if (b === 10) return { text, next: i + 1 };
    if (b === 13) return { text, next: bytes[i + 1] === 10 ? i + 2 : i + 1 };
    text += String.fromCharCode(b);
  }
  // an ASCII file without data may end here
  return text.trim() === 'end_header' ? { text, next: bytes.length } : null;
}

function propertyOf(words: readonly string[]): PlyProperty | null {
  const isList = words[1] === 'list';
  const countType = isList ? SCALARS.get(words[2] ?? '') : null;
  const type = SCALARS.get(words[isList ? 3 : 1] ?? '');
  const name = words[isList ? 4 : 2];
  if (countType === undefined || type === undefined || name === undefined) return null;
  return { name, type, countType };
}

/** Least size of the announced data against the size there is. */
function doubtCounts(header: PlyHeader, fileBytes: number): PlyHeader | Refusal {
  const room = fileBytes - header.dataAt;
  let least = 0;
  for (const { name, count, properties } of header.elements) {
    const each = properties.reduce((sum, p) => sum + leastBytes(p, header.encoding), 0);
    least += count * each;
    // the last number of a text may lack its white space
    if (least > room + 1)
      return truncated(
        `The header announces ${count} of ${quoted(name)}, of ${each} bytes or more each; ${room} bytes follow it.`,
      );
  }
  return header;
}

function leastBytes({ type, countType }: PlyProperty, encoding: PlyEncoding): number {
  return encoding === 'ascii' ? 2 : PLY_BYTES[countType ?? type];
}

function quoted(text: string | undefined): string {
  return JSON.stringify(harmless(text ?? ''));
}

function broken(why: string, line: number): Refusal {
  return refuse('FILE_MALFORMED', `${why.slice(0, -1)} (line ${line}).`, { where: { path: `ply: line ${line}` } });
}

function truncated(why: string): Refusal {
  return refuse('FILE_TRUNCATED', why, { where: { path: 'ply: header' } });
}
