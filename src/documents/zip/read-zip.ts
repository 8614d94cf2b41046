// Opens a zip archive held in memory, distrusting every number in it. Names inside are only compared, never used as paths.
import { Inflate } from 'fflate';
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { crc32 } from './crc32.ts';

export interface ZipEntry {
  readonly name: string;
  readonly method: number;
  readonly packedBytes: number;
  readonly unpackedBytes: number;
  readonly crc: number;
  readonly headerAt: number;
}

export interface ZipLimits {
  /** An entry may unpack to at most this many bytes. */
  readonly maxUnpackedBytes: number;
  /** Unpacked size over packed size; asked only of entries beyond 1 MB. XML of meshes packs 6 to 40 times. */
  readonly maxRatio: number;
  readonly maxEntries: number;
}

export const ZIP_LIMITS: ZipLimits = { maxUnpackedBytes: 1_000_000_000, maxRatio: 250, maxEntries: 20_000 };

/** Lists the entries by the central directory.  Refuses: FILE_TRUNCATED, FILE_MALFORMED, FILE_TOO_LARGE. */
export function listZip(bytes: Uint8Array, limits: ZipLimits = ZIP_LIMITS): Outcome<ZipEntry[]> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = findEnd(view);
  if (end < 0) return refuse('FILE_TRUNCATED', 'The archive has no directory at its end; it was cut off.', ZIP);
  const count = view.getUint16(end + 10, true);
  let at = view.getUint32(end + 16, true);
  if (count > limits.maxEntries)
    return tooLarge(`The archive lists ${count} entries; the limit is ${limits.maxEntries}.`);
  const entries: ZipEntry[] = [];
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== CENTRAL)
      return malformed(`Entry ${i + 1} of the directory is broken.`);
    const nameLength = view.getUint16(at + 28, true);
    const extraLength = view.getUint16(at + 30, true);
    const next = at + 46 + nameLength + extraLength + view.getUint16(at + 32, true);
    if (next > end) return malformed(`Entry ${i + 1} of the directory reaches beyond it.`);
    const name = new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength));
    if ((view.getUint16(at + 8, true) & 1) !== 0) return malformed(`The entry ${quote(name)} is encrypted.`);
    entries.push(entryAt(view, { at, name, extraAt: at + 46 + nameLength, extraLength }));
    at = next;
  }
  return done(entries);
}

/** Unpacks one entry. Memory stays within the declared size, which stays within the limits; the check sum must agree. */
export function unpackEntry(bytes: Uint8Array, entry: ZipEntry, limits: ZipLimits = ZIP_LIMITS): Outcome<Uint8Array> {
  const packed = packedEntry(bytes, entry, limits);
  if (!packed.ok) return packed;
  const unpacked = isStored(entry) ? packed.value : inflateBounded(packed.value, entry.unpackedBytes);
  if (unpacked === null || unpacked.length !== entry.unpackedBytes)
    return malformed(`${quote(entry.name)} does not unpack to the ${entry.unpackedBytes} bytes it announces.`);
  if (crc32(unpacked) !== entry.crc) return malformed(`The check sum of ${quote(entry.name)} is wrong; it is damaged.`);
  return done(unpacked);
}

/** The bytes of one entry as they lie in the archive, for whoever unpacks them step by step; its announced sizes are within the
 *  limits. Raw deflate unless {@link isStored}. */
export function packedEntry(bytes: Uint8Array, entry: ZipEntry, limits: ZipLimits = ZIP_LIMITS): Outcome<Uint8Array> {
  const trouble = checkSizes(entry, limits);
  if (trouble !== null) return trouble;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { headerAt } = entry;
  if (headerAt + 30 > bytes.length || view.getUint32(headerAt, true) !== LOCAL)
    return malformed(`The entry ${quote(entry.name)} is not where the directory says.`);
  const from = headerAt + 30 + view.getUint16(headerAt + 26, true) + view.getUint16(headerAt + 28, true);
  if (from + entry.packedBytes > bytes.length) return refuse('FILE_TRUNCATED', `${quote(entry.name)} is cut off.`, ZIP);
  return done(bytes.subarray(from, from + entry.packedBytes));
}

export function isStored({ method }: ZipEntry): boolean {
  return method === STORED;
}

const ZIP = { where: { path: 'zip' } };
const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const STORED = 0;
const DEFLATED = 8;
const INPUT_STEP = 65536;

function findEnd(view: DataView): number {
  const last = view.byteLength - 22;
  for (let at = last; at >= 0 && at >= last - 65535; at--) if (view.getUint32(at, true) === END) return at;
  return -1;
}

function entryAt(view: DataView, head: { at: number; name: string; extraAt: number; extraLength: number }): ZipEntry {
  const { at, name } = head;
  const wide = wideSizes(view, head);
  return {
    name,
    method: view.getUint16(at + 10, true),
    crc: view.getUint32(at + 16, true),
    packedBytes: wide.packedBytes,
    unpackedBytes: wide.unpackedBytes,
    headerAt: wide.headerAt,
  };
}

/** Sizes and place of an entry; where the short fields are full, the 64-bit ones of the extra field count. */
function wideSizes(view: DataView, head: { at: number; extraAt: number; extraLength: number }) {
  const short = [
    view.getUint32(head.at + 24, true),
    view.getUint32(head.at + 20, true),
    view.getUint32(head.at + 42, true),
  ];
  const end = head.extraAt + head.extraLength;
  for (let at = head.extraAt; at + 4 <= end; at += 4 + view.getUint16(at + 2, true)) {
    if (view.getUint16(at, true) !== 1) continue;
    let field = at + 4;
    for (let i = 0; i < 3; i++) {
      if (short[i] !== 0xffffffff || field + 8 > end) continue;
      short[i] = view.getUint32(field, true) + view.getUint32(field + 4, true) * 4294967296;
      field += 8;
    }
  }
  return { unpackedBytes: short[0]!, packedBytes: short[1]!, headerAt: short[2]! };
}

function checkSizes(entry: ZipEntry, limits: ZipLimits): Refusal | null {
  const { name, packedBytes, unpackedBytes } = entry;
  if (entry.method !== STORED && entry.method !== DEFLATED)
    return malformed(`${quote(name)} is packed by method ${entry.method}; only 0 and 8 are allowed.`);
  if (unpackedBytes > limits.maxUnpackedBytes)
    return tooLarge(`${quote(name)} unpacks to ${unpackedBytes} bytes; the limit is ${limits.maxUnpackedBytes}.`);
  const ratio = unpackedBytes / Math.max(packedBytes, 1);
  if (unpackedBytes > 1_000_000 && ratio > limits.maxRatio)
    return tooLarge(`${quote(name)} unpacks to ${Math.round(ratio)} times its size; the limit is ${limits.maxRatio}.`);
  return null;
}

/** Unpacks in steps of input, so that data announced small cannot grow large before it is noticed. Null when broken. */
function inflateBounded(packed: Uint8Array, announced: number): Uint8Array | null {
  const out = new Uint8Array(announced);
  let used = 0;
  let over = false;
  const inflate = new Inflate((chunk) => {
    if (used + chunk.length > announced) over = true;
    else out.set(chunk, used);
    used += chunk.length;
  });
  try {
    for (let at = 0; at < packed.length && !over; at += INPUT_STEP)
      inflate.push(packed.subarray(at, at + INPUT_STEP), at + INPUT_STEP >= packed.length);
  } catch {
    return null; // the only exceptions fflate throws here are about broken data
  }
  return over || used !== announced ? null : out;
}

function malformed(why: string): Refusal {
  return refuse('FILE_MALFORMED', why, ZIP);
}

function tooLarge(why: string): Refusal {
  return refuse('FILE_TOO_LARGE', why, ZIP);
}

/** A name from the archive, shortened and made harmless for a message. */
function quote(name: string): string {
  const clean = Array.from(name, (c) => (c < ' ' || c === '\u007f' ? '?' : c)).join('');
  return `"${clean.length > 60 ? `${clean.slice(0, 57)}...` : clean}"`;
}
