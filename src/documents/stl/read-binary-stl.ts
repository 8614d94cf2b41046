// The binary kind of STL: 80 bytes of header, a count, then 50 bytes a triangle, little-endian.
import { done, type Finding, type Outcome, refuse } from '../../base/findings.ts';
import type { Work } from '../../base/work.ts';
import { leaveOutCorners } from '../leave-out.ts';
import { declaredCount, STL_FACET_BYTES, STL_HEADER_BYTES, STL_WHERE, type StlSoup, stlFinding } from './stl-soup.ts';

/** Reads binary STL; see {@link readStl}. */
export function readBinaryStl(bytes: Uint8Array, work: Work): Outcome<StlSoup> {
  if (bytes.length < STL_HEADER_BYTES)
    return refuse(
      'FILE_TRUNCATED',
      `A binary STL has at least ${STL_HEADER_BYTES} bytes; this file has ${bytes.length}.`,
      { where: STL_WHERE },
    );
  const declared = declaredCount(bytes);
  const room = bytes.length - STL_HEADER_BYTES;
  const present = Math.floor(room / STL_FACET_BYTES);
  const findings: Finding[] = [];
  if (declared > present) {
    const cut = room % STL_FACET_BYTES;
    const why = `The file announces ${declared} triangles and holds ${present}`;
    if (present === 0 || cut !== 0)
      return refuse('FILE_TRUNCATED', `${why}${cut === 0 ? '' : ` and ${cut} bytes of the next one`}.`, {
        where: STL_WHERE,
      });
    findings.push(
      stlFinding('STL_COUNT_WRONG', `${why}; all ${present} were read.`, { measured: present, limit: declared }),
    );
  }
  const count = Math.min(declared, present);
  const extra = room - count * STL_FACET_BYTES;
  if (declared === 0 && extra >= STL_FACET_BYTES)
    return refuse('FILE_MALFORMED', `The file announces 0 triangles but ${extra} bytes follow.`, { where: STL_WHERE });
  if (extra > 0)
    findings.push(
      stlFinding('TRAILING_BYTES', `${extra} bytes follow the ${count} announced triangles; they were ignored.`, {
        measured: extra,
        limit: 0,
      }),
    );
  const corners = copyCorners(bytes, count, work);
  const kept = leaveOutCorners(corners, { path: 'stl', first: placeOf(firstNotFinite(corners)) });
  if (!kept.ok) return kept;
  const name = headerText(bytes);
  const soup: StlSoup = { kind: 'binary', corners: kept.value, parts: 1 };
  return done(name === '' ? soup : { ...soup, name }, [...findings, ...kept.findings]);
}

/** Index of the first number that is NaN or infinite, or -1. One pass, branch only on the rare case. */
function firstNotFinite(values: Float32Array): number {
  for (let i = 0; i < values.length; i++) {
    const v = values[i]!;
    if (v - v !== 0) return i;
  }
  return -1;
}

/** About 20 ms of work. */
const NUMBERS_PER_TICK = 9 * 131072;

function copyCorners(bytes: Uint8Array, count: number, work: Work): Float32Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const corners = new Float32Array(count * 9);
  let at = STL_HEADER_BYTES + 12;
  for (let i = 0; i < corners.length; i += 9) {
    corners[i] = view.getFloat32(at, true);
    corners[i + 1] = view.getFloat32(at + 4, true);
    corners[i + 2] = view.getFloat32(at + 8, true);
    corners[i + 3] = view.getFloat32(at + 12, true);
    corners[i + 4] = view.getFloat32(at + 16, true);
    corners[i + 5] = view.getFloat32(at + 20, true);
    corners[i + 6] = view.getFloat32(at + 24, true);
    corners[i + 7] = view.getFloat32(at + 28, true);
    corners[i + 8] = view.getFloat32(at + 32, true);
    at += STL_FACET_BYTES;
    if (i % NUMBERS_PER_TICK === 0) work.tick(i / corners.length, 'reading the model file');
  }
  return corners;
}

/** Where the number with this index stands, in words. */
function placeOf(index: number): string {
  if (index < 0) return '';
  const tri = Math.floor(index / 9);
  const byte = STL_HEADER_BYTES + tri * STL_FACET_BYTES + 12 + (index % 9) * 4;
  return `corner ${Math.floor((index % 9) / 3) + 1} of triangle ${tri + 1}, byte ${byte}`;
}

/** The printable part of the header, at most 80 characters. */
function headerText(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < 80; i++) {
    const b = bytes[i]!;
    if (b === 0) break;
    text += b >= 32 && b < 127 ? String.fromCharCode(b) : '?';
  }
  return text.trim();
}
