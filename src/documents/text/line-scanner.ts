// Walks through text whose lines mean something (OBJ, OFF): words within a line, its end, and the next line.
import { decimalAt } from './decimal.ts';

/** Where a scan stands. Nothing is allocated per line or word. */
export interface LineScan {
  readonly bytes: Uint8Array;
  at: number;
  /** A backslash at the end of a line joins the next one to it. */
  readonly continues: boolean;
}

const LF = 10;
const CR = 13;
const HASH = 35;
const BACKSLASH = 92;

export function lineScan(bytes: Uint8Array, continues: LineScan['continues']): LineScan {
  return { bytes, at: bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0, continues };
}

/** To the next word of the line. False at its end: a line break, a comment, the end of the file. */
export function toWord(scan: LineScan): boolean {
  const { bytes } = scan;
  let i = scan.at;
  for (; i < bytes.length; i++) {
    const b = bytes[i]!;
    if (b === LF || b === CR || b === HASH) break;
    if (b <= 32) continue;
    const joined = b === BACKSLASH && scan.continues ? breakAt(bytes, i + 1) : 0;
    if (joined === 0) {
      scan.at = i;
      return true;
    }
    i += joined;
  }
  scan.at = i;
  return false;
}

/** Past the word begun at `scan.at`. */
export function skipWord(scan: LineScan): void {
  const { bytes } = scan;
  let i = scan.at;
  while (i < bytes.length && bytes[i]! > 32 && !(bytes[i] === BACKSLASH && scan.continues && breakAt(bytes, i + 1) > 0))
    i++;
  scan.at = i;
}

/** The number that the word at `scan.at` spells, or undefined; goes past it. */
export function takeNumber(scan: LineScan): number | undefined {
  const from = scan.at;
  skipWord(scan);
  return decimalAt(scan.bytes, from, scan.at);
}

/** Past the end of this line, joined ones included. */
export function skipLine(scan: LineScan): void {
  const { bytes } = scan;
  for (;;) {
    skipRawLine(scan);
    if (!scan.continues) return;
    let last = scan.at - 1; // the break itself, LF or CR
    if (bytes[last] === LF && bytes[last - 1] === CR) last--;
    if (bytes[last - 1] !== BACKSLASH || scan.at >= bytes.length) return;
  }
}

/** Past the end of this line, whatever it ends with: for comments and free names. */
export function skipRawLine(scan: LineScan): void {
  const { bytes } = scan;
  let i = scan.at;
  while (i < bytes.length && bytes[i] !== LF && bytes[i] !== CR) i++;
  scan.at = i + breakAt(bytes, i);
}

/** Bytes of the line break at a place: 0, 1 or 2. */
function breakAt(bytes: Uint8Array, at: number): number {
  if (bytes[at] === LF) return 1;
  return bytes[at] === CR ? (bytes[at + 1] === LF ? 2 : 1) : 0;
}
