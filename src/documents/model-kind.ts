// Tells the format of a model file by its bytes, never by its name.
import { type Refusal, refuse } from '../base/findings.ts';
import { isGlb } from './gltf/gltf-container.ts';
import { isOff } from './off/read-off.ts';
import { firstInk, isAsciiStl } from './stl/read-stl.ts';
import { declaredCount, hasExactStlSize, looksLikeBinaryStl } from './stl/stl-soup.ts';
import { lineScan, skipLine, takeNumber, toWord } from './text/line-scanner.ts';
import { wordAt } from './text/text-place.ts';

export type ModelFormat = 'stl-binary' | 'stl-ascii' | '3mf' | 'obj' | 'ply' | 'off' | 'gltf' | 'glb';

/** In the order of certainty: marks in the first bytes; a size that agrees with a binary STL's count; text that begins as its
 *  format must; last what its lines or its first triangles look like.  Refuses: FILE_UNREADABLE (empty), FILE_KIND_UNKNOWN. */
export function modelFormat(bytes: Uint8Array): ModelFormat | Refusal {
  if (bytes.length === 0) return refuse('FILE_UNREADABLE', 'The file is empty (0 bytes).', WHERE);
  if (declaredCount(bytes) > 0 && hasExactStlSize(bytes)) return 'stl-binary';
  if (startsWith(bytes, 'PK')) return '3mf';
  if (isGlb(bytes)) return 'glb';
  if (isAsciiStl(bytes)) return 'stl-ascii';
  if (/^ply[\r\n]/.test(latin(bytes, 4))) return 'ply';
  if (isOff(bytes)) return 'off';
  if (declaredCount(bytes) > 0 && looksLikeBinaryStl(bytes)) return 'stl-binary';
  if (bytes[firstInk(bytes)] === BRACE) return 'gltf';
  if (looksLikeObj(bytes)) return 'obj';
  return markOf(bytes) === null && looksLikeBinaryStl(bytes) ? 'stl-binary' : refuseKind(bytes);
}

const WHERE = { where: { path: 'model file' } };
const BRACE = 0x7b;
/** Lines looked at before a text is given up as OBJ, comments and empty ones not counted. */
const LINES_SEEN = 200;
const OBJ_WORDS: readonly string[] = [
  'v',
  'vt',
  'vn',
  'vp',
  'f',
  'fo',
  'o',
  'g',
  's',
  'l',
  'p',
  'usemtl',
  'mtllib',
  'mg',
];

/** Text whose lines begin with the words of OBJ, one of the first of them a vertex with three numbers. */
function looksLikeObj(bytes: Uint8Array): boolean {
  const scan = lineScan(bytes, true);
  let known = 0;
  let strange = 0;
  while (scan.at < bytes.length && known + strange < LINES_SEEN) {
    if (toWord(scan)) {
      const word = wordAt(bytes, scan.at);
      if (OBJ_WORDS.includes(word)) known++;
      else strange++;
      if (strange > known + 10) return false;
      if (word === 'v') {
        scan.at++;
        return known > strange && isNumber(scan) && isNumber(scan) && isNumber(scan);
      }
    }
    skipLine(scan);
  }
  return false;
}

function isNumber(scan: ReturnType<typeof lineScan>): boolean {
  return toWord(scan) && takeNumber(scan) !== undefined;
}

// Formats people try, by their first bytes, so that the refusal can name what it was given.
const MARKS: readonly (readonly [start: string, kind: string])[] = [
  ['\x89PNG', 'a PNG picture'],
  ['\xff\xd8\xff', 'a JPEG picture'],
  ['%PDF', 'a PDF document'],
  ['<', 'XML or HTML text'],
  ['ISO-10303-21', 'a STEP model'],
  ['7z', 'a packed archive'],
  ['Rar!', 'a packed archive'],
  ['\x1f\x8b', 'a packed archive'],
];

function markOf(bytes: Uint8Array): string | null {
  for (const [start, kind] of MARKS) if (startsWith(bytes, start)) return kind;
  return null;
}

function refuseKind(bytes: Uint8Array): Refusal {
  const mark = markOf(bytes);
  const seen =
    mark === null
      ? `This is no model file that is known here (it begins with the bytes ${firstBytes(bytes)})`
      : `This looks like ${mark}`;
  return refuse('FILE_KIND_UNKNOWN', `${seen}; STL, OBJ, PLY, OFF, glTF and 3MF are read.`, WHERE);
}

function startsWith(bytes: Uint8Array, mark: string): boolean {
  return bytes.length >= mark.length && Array.from(mark).every((c, i) => bytes[i] === c.charCodeAt(0));
}

function latin(bytes: Uint8Array, length: number): string {
  return String.fromCharCode(...bytes.subarray(0, length));
}

function firstBytes(bytes: Uint8Array): string {
  return Array.from(bytes.subarray(0, 8), (b) => b.toString(16).padStart(2, '0')).join(' ');
}
