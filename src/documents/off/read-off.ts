// Reads OFF, the plain text format of research meshes: counts, vertices, faces of any size.
import { type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { partOfWork, QUIET_WORK, type Work } from '../../base/work.ts';
import { FaceCollector, NO_VERTEX, type ReadMesh } from '../face-collector.ts';
import { type LineScan, lineScan, skipLine, skipWord, takeNumber, toWord } from '../text/line-scanner.ts';
import { lineOf, wordAt } from '../text/text-place.ts';

/** Reads OFF, COFF, NOFF, STOFF and their mixtures as triangles. File units; the format names none. Normals, texture places and
 *  colours are passed over, as is whatever follows the numbers on a vertex or face line.
 *  Cost: one pass, about 0.3 s per million triangles; memory within 10 times the file.
 *  Findings: FACES_TANGLED, ELEMENTS_IGNORED, CORNERS_NOT_FINITE.
 *  Refuses: FILE_MALFORMED (names the line; binary and four-dimensional kinds), FILE_TRUNCATED (counts beyond what the bytes can hold),
 *  FILE_TOO_LARGE, COORDINATE_NOT_FINITE.  Method: docs/methods/text-meshes.md. */
export function readOff(bytes: Uint8Array, work: Work = QUIET_WORK): Outcome<ReadMesh> {
  const placeOf = (at: number) => `line ${lineOf(bytes, at)}`;
  const scan: OffScan = {
    ...lineScan(bytes, false),
    faces: new FaceCollector({ path: 'off', placeOf, badFaces: 'refused' }),
    work: partOfWork(work, 0, 0.8),
    tickAt: TICK_BYTES,
  };
  const counts = takeHeader(scan);
  if ('ok' in counts) return counts;
  const trouble = takeVertices(scan, counts.numVerts) ?? takeFaces(scan, counts.numFaces);
  return trouble ?? scan.faces.finish({ parts: 1, numIgnored: 0 }, partOfWork(work, 0.8, 1));
}

/** True when the first word is an OFF keyword. */
export function isOff(bytes: Uint8Array): boolean {
  const scan = lineScan(bytes, false);
  return toNextWord(scan) && OFF_WORD.test(wordAt(bytes, scan.at));
}

const OFF_WORD = /^(ST)?C?N?4?n?OFF$/;
/** About 20 ms of work. */
const TICK_BYTES = 1 << 20;

interface OffScan extends LineScan {
  readonly faces: FaceCollector;
  readonly work: Work;
  tickAt: number;
}

function takeHeader(scan: OffScan): { numVerts: number; numFaces: number } | Refusal {
  if (!toNextWord(scan)) return cutShort(scan, 'the header');
  const word = wordAt(scan.bytes, scan.at);
  if (!OFF_WORD.test(word)) return malformed(scan, 'is no OFF keyword');
  if (/[4n]/.test(word)) return malformed(scan, 'marks vertices of other than three dimensions');
  skipWord(scan);
  if (toWord(scan) && wordAt(scan.bytes, scan.at) === 'BINARY')
    return malformed(scan, 'marks a binary OFF, which is not read');
  const numVerts = takeCount(scan);
  if (typeof numVerts !== 'number') return numVerts;
  const numFaces = takeCount(scan);
  if (typeof numFaces !== 'number') return numFaces;
  const room = scan.bytes.length - scan.at;
  // "0 0 0" and "3 0 1 2" with their line breaks are the shortest lines that mean something; "0" is the shortest at all
  const most = Math.floor((room + 1) / 6);
  if (numVerts > most || numFaces > (room + 1) / 2)
    return refuse(
      'FILE_TRUNCATED',
      `The header (line ${lineOf(scan.bytes, scan.at)}) announces ${numVerts} vertices and ${numFaces} faces; the ${room} bytes after it can hold at most ${most} vertices.`,
      { where: { path: 'off: header' } },
    );
  skipLine(scan); // the count of edges means nothing
  return { numVerts, numFaces };
}

function takeVertices(scan: OffScan, count: number): Refusal | null {
  for (let v = 0; v < count; v++) {
    if (!toNextWord(scan)) return cutShort(scan, `vertex ${v + 1} of ${count}`);
    const at = scan.at;
    const x = takeNumber(scan);
    const y = toNextWord(scan) ? takeNumber(scan) : undefined;
    const z = toNextWord(scan) ? takeNumber(scan) : undefined;
    if (x === undefined || y === undefined || z === undefined) {
      if (scan.at >= scan.bytes.length) return cutShort(scan, `vertex ${v + 1} of ${count}`);
      scan.at = at;
      return malformed(scan, `begins vertex ${v + 1}, which has not three numbers`);
    }
    scan.faces.addVertex(x, y, z, at);
    skipLine(scan);
    tickNow(scan);
  }
  return null;
}

function takeFaces(scan: OffScan, count: number): Refusal | null {
  for (let f = 0; f < count; f++) {
    if (!toNextWord(scan)) return cutShort(scan, `face ${f + 1} of ${count}`);
    const at = scan.at;
    const size = takeWhole(scan);
    if (!(size >= 0)) {
      scan.at = at;
      return malformed(scan, `is no number of corners (face ${f + 1})`);
    }
    for (let k = 0; k < size; k++) {
      if (!toNextWord(scan)) return cutShort(scan, `face ${f + 1} of ${count}, which announces ${size} corners`);
      const wordFrom = scan.at;
      const vert = takeWhole(scan);
      if (!(vert >= 0)) {
        scan.at = wordFrom;
        return malformed(scan, `is no vertex number (face ${f + 1})`);
      }
      scan.faces.addCorner(Math.min(vert, NO_VERTEX));
    }
    scan.faces.endFace(at);
    skipLine(scan);
    tickNow(scan);
  }
  return null;
}

function tickNow(scan: OffScan): void {
  if (scan.at < scan.tickAt) return;
  scan.tickAt = scan.at + TICK_BYTES;
  scan.work.tick(scan.at / scan.bytes.length, 'reading the model file');
}

/** To the next word of the file, over line ends and comments. */
function toNextWord(scan: LineScan): boolean {
  while (!toWord(scan)) {
    if (scan.at >= scan.bytes.length) return false;
    skipLine(scan);
  }
  return true;
}

/** A whole number of digits only, or NaN; goes past it. */
function takeWhole(scan: LineScan): number {
  const { bytes } = scan;
  const from = scan.at;
  let value = 0;
  let i = from;
  for (; i < bytes.length && bytes[i]! > 32; i++) {
    const d = bytes[i]! - 48;
    if (d < 0 || d > 9) value = Number.NaN;
    value = value * 10 + d;
  }
  scan.at = i;
  return value;
}

function takeCount(scan: OffScan): number | Refusal {
  if (!toNextWord(scan)) return cutShort(scan, 'the header');
  const at = scan.at;
  const count = takeWhole(scan);
  if (count >= 0) return count;
  scan.at = at;
  return malformed(scan, 'is no count');
}

function malformed(scan: OffScan, what: string): Refusal {
  const line = lineOf(scan.bytes, scan.at);
  return refuse('FILE_MALFORMED', `"${wordAt(scan.bytes, scan.at)}" in line ${line} (byte ${scan.at}) ${what}.`, {
    where: { path: `off: line ${line}, byte ${scan.at}` },
  });
}

function cutShort(scan: OffScan, what: string): Refusal {
  return refuse('FILE_TRUNCATED', `The file ends (byte ${scan.bytes.length}) before ${what}.`, {
    where: { path: 'off' },
  });
}
