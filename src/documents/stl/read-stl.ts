// Reads an STL file from bytes: tells the binary from the text kind by what is in the file, never by its name.
import { type Outcome, refuse } from '../../base/findings.ts';
import { QUIET_WORK, type Work } from '../../base/work.ts';
import { readAsciiStl } from './read-ascii-stl.ts';
import { readBinaryStl } from './read-binary-stl.ts';
import { hasExactStlSize, STL_WHERE, type StlSoup } from './stl-soup.ts';

/** Reads binary or ASCII STL. File units (STL has none of its own). Stored normals and attribute words are ignored.
 *  Cost: O(bytes), about 0.12 s per million binary triangles, 0.9 s as text.
 *  Findings: STL_COUNT_WRONG, TRAILING_BYTES, STL_END_MISSING, STL_SEVERAL_SOLIDS, CORNERS_NOT_FINITE (names triangle and byte).
 *  Refuses: FILE_UNREADABLE (empty), FILE_TRUNCATED, FILE_MALFORMED, COORDINATE_NOT_FINITE (no triangle is left).
 *  Method: docs/methods/stl.md. Weak: a binary file cut exactly between two triangles looks like a wrong count. */
export function readStl(bytes: Uint8Array, work: Work = QUIET_WORK): Outcome<StlSoup> {
  if (bytes.length === 0) return refuse('FILE_UNREADABLE', 'The file is empty (0 bytes).', { where: STL_WHERE });
  return isAsciiStl(bytes) ? readAsciiStl(bytes, work) : readBinaryStl(bytes, work);
}

/** The rule that settles the kind: a size that agrees with the declared count is binary whatever the header says
 *  (many programs begin a binary header with "solid"); otherwise "solid" followed by text is ASCII. */
export function isAsciiStl(bytes: Uint8Array): boolean {
  if (hasExactStlSize(bytes)) return false;
  if (!startsWithWord(bytes, firstInk(bytes), 'solid')) return false;
  return !hasControlByte(bytes, Math.min(bytes.length, 1024));
}

/** Index of the first byte that is neither a byte order mark nor white space. */
export function firstInk(bytes: Uint8Array): number {
  let i = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
  while (i < bytes.length && bytes[i]! <= 32 && bytes[i]! > 0) i++;
  return i;
}

function startsWithWord(bytes: Uint8Array, at: number, lower: string): boolean {
  for (let i = 0; i < lower.length; i++) if (((bytes[at + i] ?? 0) | 32) !== lower.charCodeAt(i)) return false;
  return true;
}

function hasControlByte(bytes: Uint8Array, end: number): boolean {
  for (let i = 0; i < end; i++) {
    const b = bytes[i]!;
    if (b < 9 || (b > 13 && b < 32)) return true;
  }
  return false;
}
