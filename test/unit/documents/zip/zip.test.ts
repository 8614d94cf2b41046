// Zip archives: what is written opens, here and in another program's code; what is broken or swollen is refused.
import { unzipSync, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { crc32 } from '../../../../src/documents/zip/crc32.ts';
import { listZip, unpackEntry, ZIP_LIMITS } from '../../../../src/documents/zip/read-zip.ts';
import { writeZip } from '../../../../src/documents/zip/write-zip.ts';

const text = (s: string) => new TextEncoder().encode(s);
const PARTS = [
  { name: 'a/b.txt', bytes: text('one two three '.repeat(500)) },
  { name: 'ü.txt', bytes: text('') },
];

function only(bytes: Uint8Array, index = 0, limits = ZIP_LIMITS) {
  const listed = listZip(bytes, limits);
  if (!listed.ok) return listed;
  return unpackEntry(bytes, listed.value[index]!, limits);
}

describe('crc32', () => {
  it('gives the check value of the polynomial', () => expect(crc32(text('123456789'))).toBe(0xcbf43926));
  it('agrees with a loop of single bytes at any length', () => {
    for (let n = 0; n < 40; n++) {
      const bytes = Uint8Array.from({ length: n }, (_, i) => (i * 37 + n) & 255);
      let crc = -1;
      for (const b of bytes) {
        crc ^= b;
        for (let k = 0; k < 8; k++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
      }
      expect(crc32(bytes)).toBe((crc ^ -1) >>> 0);
    }
  });
});

describe('writeZip', () => {
  it('opens in another reader', () => {
    const opened = unzipSync(writeZip(PARTS));
    expect(Object.keys(opened)).toEqual(['a/b.txt', 'ü.txt']);
    expect(opened['a/b.txt']).toEqual(PARTS[0]!.bytes);
  });
  it('opens here and gives the same bytes twice', () => {
    const read = only(writeZip(PARTS));
    expect(read.ok && read.value).toEqual(PARTS[0]!.bytes);
    expect(writeZip(PARTS)).toEqual(writeZip(PARTS));
  });
});

describe('reading', () => {
  const stored = zipSync({ x: [text('plain'), { level: 0 }] });
  it('opens stored entries and archives with a comment', () => {
    const read = only(stored);
    expect(read.ok && new TextDecoder().decode(read.value)).toBe('plain');
    const commented = new Uint8Array(stored.length + 5);
    commented.set(stored);
    commented[stored.length - 2] = 5;
    expect(only(commented).ok).toBe(true);
  });
  it('refuses a check sum that does not agree', () => {
    const broken = stored.slice();
    broken[31]! ^= 1;
    expect(only(broken)).toMatchObject({
      ok: false,
      code: 'FILE_MALFORMED',
      why: expect.stringContaining('check sum'),
    });
  });
  it('refuses an archive without its directory', () => {
    expect(listZip(stored.subarray(0, stored.length - 30))).toMatchObject({ ok: false, code: 'FILE_TRUNCATED' });
  });
  it('refuses to unpack beyond the limits, as announced', () => {
    const bomb = zipSync({ x: new Uint8Array(20_000_000) });
    expect(only(bomb)).toMatchObject({
      ok: false,
      code: 'FILE_TOO_LARGE',
      why: expect.stringContaining('times its size'),
    });
    const limits = { ...ZIP_LIMITS, maxUnpackedBytes: 1000 };
    expect(only(writeZip(PARTS), 0, limits)).toMatchObject({ ok: false, code: 'FILE_TOO_LARGE' });
  });
  it('stops unpacking where the announced size is passed', () => {
    const bomb = zipSync({ x: new Uint8Array(20_000_000) });
    const view = new DataView(bomb.buffer);
    const listed = listZip(bomb);
    if (!listed.ok) throw new Error(listed.why);
    const central = view.getUint32(bomb.length - 22 + 16, true);
    view.setUint32(central + 24, 500, true);
    expect(only(bomb)).toMatchObject({ ok: false, code: 'FILE_MALFORMED', why: expect.stringContaining('500 bytes') });
  });
});
