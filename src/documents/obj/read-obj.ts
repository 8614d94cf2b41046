// Reads OBJ, the text format most sculpting programs write: vertices, polygons, groups.
import { type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { partOfWork, QUIET_WORK, type Work } from '../../base/work.ts';
import { FaceCollector, NO_VERTEX, type ReadMesh } from '../face-collector.ts';
import { type LineScan, lineScan, skipLine, skipRawLine, skipWord, takeNumber, toWord } from '../text/line-scanner.ts';
import { lineOf, wordAt } from '../text/text-place.ts';

/** Reads the faces of an OBJ file as triangles. File units; the format names none. Weights, colours, texture places, normals and
 *  materials are passed over. Objects (or, without any, groups) with faces are counted as parts.
 *  Cost: one pass over the bytes, about 0.3 s per million triangles; memory within 10 times the file.
 *  Findings: FACES_LEFT_OUT, FACES_TANGLED, ELEMENTS_IGNORED, CORNERS_NOT_FINITE.
 *  Refuses: FILE_MALFORMED (names the line), FILE_TOO_LARGE, COORDINATE_NOT_FINITE.
 *  Method: docs/methods/text-meshes.md. Weak: free-form curves and surfaces are not read. */
export function readObj(bytes: Uint8Array, work: Work = QUIET_WORK): Outcome<ReadMesh> {
  const placeOf = (at: number) => `line ${lineOf(bytes, at)}`;
  const faces = new FaceCollector({ path: 'obj', placeOf, badFaces: 'left out' });
  const scan: ObjScan = {
    ...lineScan(bytes, true),
    faces,
    numIgnored: 0,
    objects: { isNamed: false, withFaces: 0, facesBefore: 0 },
    groups: { isNamed: false, withFaces: 0, facesBefore: 0 },
  };
  const reading = partOfWork(work, 0, 0.8);
  let tickAt = TICK_BYTES;
  while (scan.at < bytes.length) {
    const trouble = takeLine(scan);
    if (trouble !== null) return trouble;
    if (scan.at < tickAt) continue;
    tickAt = scan.at + TICK_BYTES;
    reading.tick(scan.at / bytes.length, 'reading the model file');
  }
  const parts = countParts(scan, scan.objects) || countParts(scan, scan.groups);
  return faces.finish({ parts, numIgnored: scan.numIgnored }, partOfWork(work, 0.8, 1));
}

/** About 20 ms of work. */
const TICK_BYTES = 1 << 20;

/** Parts by names of one kind: those with faces so far, and the faces read when the last name came. */
interface Naming {
  isNamed: boolean;
  withFaces: number;
  facesBefore: number;
}

interface ObjScan extends LineScan {
  readonly faces: FaceCollector;
  numIgnored: number;
  readonly objects: Naming;
  readonly groups: Naming;
}

const V = 118;
const F = 102;
const G = 103;
const L = 108;
const O = 111;
const P = 112;
const HASH = 35;
const SLASH = 47;

function takeLine(scan: ObjScan): Refusal | null {
  if (!toWord(scan)) {
    skipRawLine(scan);
    return null;
  }
  const { bytes, at } = scan;
  const first = bytes[at]!;
  const isShort = at + 1 >= bytes.length || bytes[at + 1]! <= 32;
  if (isShort && first === V) return takeVertex(scan, at);
  if (isShort && first === F) return takeFace(scan, at);
  if (isShort && (first === O || first === G)) {
    takeName(scan, first === O ? scan.objects : scan.groups);
    return null;
  }
  if (first === V && isVertexKind(bytes, at)) skipLine(scan);
  else if (isShort && (first === L || first === P)) ignore(scan);
  else return takeOther(scan);
  return null;
}

/** vt, vn, vp: what a face may also name, but has no shape. */
function isVertexKind(bytes: Uint8Array, at: number): boolean {
  const second = bytes[at + 1]!;
  return (second === 0x74 || second === 0x6e || second === 0x70) && (bytes[at + 2] ?? 32) <= 32;
}

/** Lines with free text at their end, where a backslash is part of a name. */
const NAMES: readonly string[] = ['usemtl', 'mtllib', 'maplib', 'usemap', 'shadow_obj', 'trace_obj', 'call', 'csh'];
/** Lines that change nothing about the shape. */
const HARMLESS: readonly string[] = ['s', 'mg', 'bevel', 'c_interp', 'd_interp', 'lod', 'off', 'end'];

function takeOther(scan: ObjScan): Refusal | null {
  const word = wordAt(scan.bytes, scan.at);
  if (word === 'fo') return takeFace(scan, scan.at); // the old word for a face
  if (NAMES.includes(word)) skipRawLine(scan);
  else if (HARMLESS.includes(word)) skipLine(scan);
  else ignore(scan);
  return null;
}

function ignore(scan: ObjScan): void {
  scan.numIgnored++;
  skipLine(scan);
}

function takeVertex(scan: ObjScan, start: number): Refusal | null {
  scan.at = start + 1;
  const x = takeCoordinate(scan);
  const y = takeCoordinate(scan);
  const z = takeCoordinate(scan);
  if (x === undefined || y === undefined || z === undefined)
    return malformed(scan, start, 'A vertex has not three numbers');
  scan.faces.addVertex(x, y, z, start);
  skipLine(scan);
  return null;
}

function takeCoordinate(scan: ObjScan): number | undefined {
  return toWord(scan) ? takeNumber(scan) : undefined;
}

function takeFace(scan: ObjScan, start: number): Refusal | null {
  const { bytes, faces } = scan;
  skipWord(scan);
  while (toWord(scan)) {
    const at = scan.at;
    const vert = takeIndex(scan);
    if (Number.isNaN(vert)) return malformed(scan, at, `"${wordAt(bytes, at)}" is no corner of a face`);
    // counted from 1, or back from the last vertex so far
    const handle = vert > 0 ? vert - 1 : vert < 0 ? faces.numVerts + vert : -1;
    faces.addCorner(handle < 0 || handle > NO_VERTEX ? NO_VERTEX : handle);
  }
  faces.endFace(start);
  skipLine(scan);
  return null;
}

/** The vertex number of v, v/vt, v//vn or v/vt/vn; NaN when it is none of these. Goes past the word. */
function takeIndex(scan: ObjScan): number {
  const { bytes } = scan;
  let i = scan.at;
  const isNegative = bytes[i] === 45;
  if (isNegative) i++;
  const digitsFrom = i;
  let value = 0;
  for (; i < bytes.length; i++) {
    const d = bytes[i]! - 48;
    if (d < 0 || d > 9) break;
    value = value * 10 + d;
  }
  if (i === digitsFrom) return Number.NaN;
  if (bytes[i] === SLASH) i = skipReferences(bytes, i);
  scan.at = i;
  const rest = bytes[i] ?? 32;
  if (rest > 32 && rest !== HASH && rest !== 92) return Number.NaN;
  return isNegative ? -value : value;
}

/** Past the numbers of texture place and normal: digits, signs and slashes. */
function skipReferences(bytes: Uint8Array, from: number): number {
  let i = from;
  while (i < bytes.length && ((bytes[i]! >= SLASH && bytes[i]! <= 57) || bytes[i] === 45)) i++;
  return i;
}

function takeName(scan: ObjScan, naming: Naming): void {
  if (scan.faces.numFaces > naming.facesBefore) naming.withFaces++;
  naming.facesBefore = scan.faces.numFaces;
  naming.isNamed = true;
  skipRawLine(scan);
}

/** 0 when nothing of this kind was named. */
function countParts(scan: ObjScan, { isNamed, withFaces, facesBefore }: Naming): number {
  if (!isNamed) return 0;
  return withFaces + (scan.faces.numFaces > facesBefore ? 1 : 0);
}

function malformed(scan: ObjScan, at: number, what: string): Refusal {
  const line = lineOf(scan.bytes, at);
  return refuse('FILE_MALFORMED', `${what} (line ${line}, byte ${at}).`, {
    where: { path: `obj: line ${line}, byte ${at}` },
  });
}
