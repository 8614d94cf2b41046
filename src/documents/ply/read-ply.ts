// Reads PLY, the format of scanners: text or binary of either byte order, with any properties beside the shape.
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { partOfWork, QUIET_WORK, type Work } from '../../base/work.ts';
import { FaceCollector, NO_VERTEX, type ReadMesh } from '../face-collector.ts';
import { harmless } from '../text/text-place.ts';
import { type PlyElement, type PlyProperty, type PlyScalar, readPlyHeader } from './ply-header.ts';
import { type PlyValues, plyValues } from './ply-values.ts';

/** Reads faces of any size and triangle strips. File units; the format names none. Other elements and properties are passed over.
 *  Cost: one pass, about 0.16 s per million binary triangles, 0.3 s as text; memory within 12 times the file.
 *  Findings: FACES_TANGLED, ELEMENTS_IGNORED, CORNERS_NOT_FINITE.
 *  Refuses: FILE_MALFORMED, FILE_TRUNCATED (counts beyond what the bytes can hold), FILE_TOO_LARGE, COORDINATE_NOT_FINITE.
 *  Method: docs/methods/text-meshes.md; Turk 1994. Weak: numbers of a text are taken one after another, line ends mean nothing. */
export function readPly(bytes: Uint8Array, work: Work = QUIET_WORK): Outcome<ReadMesh> {
  const header = readPlyHeader(bytes);
  if ('ok' in header) return header;
  const values = plyValues(bytes, header.dataAt, header.encoding);
  const faces = new FaceCollector({ path: 'ply', placeOf: values.placeOf, badFaces: 'refused' });
  const reading: Reading = { values, faces, work: partOfWork(work, 0, 0.8), fileBytes: bytes.length };
  let numIgnored = 0;
  for (const element of header.elements) {
    const trouble = takeElement(reading, element);
    if (trouble !== null) return trouble;
    if (element.name === 'edge') numIgnored += element.count;
  }
  const finished = faces.finish({ parts: 1, numIgnored }, partOfWork(work, 0.8, 1));
  if (!finished.ok) return finished;
  if (finished.value.mesh.triangles.length === 0)
    return refuse('MESH_EMPTY', `The PLY file holds ${faces.numVerts} points and no face.`, { where: WHERE });
  return done(finished.value, finished.findings);
}

const WHERE = { path: 'ply' };
/** Rows of one element between two looks at the clock. */
const ROWS_PER_TICK = 65536;

interface Reading {
  readonly values: PlyValues;
  readonly faces: FaceCollector;
  readonly work: Work;
  readonly fileBytes: number;
}

type TakeRow = (reading: Reading, element: PlyElement) => Refusal | null;

function takeElement(reading: Reading, element: PlyElement): Refusal | null {
  const { values, work } = reading;
  const takeRow = rowTaker(element);
  if (typeof takeRow !== 'function') return takeRow;
  // an element without properties has no bytes, however many the header announces
  const count = element.properties.length === 0 ? 0 : element.count;
  for (let row = 0; row < count; row++) {
    const trouble = takeRow(reading, element);
    if (trouble !== null) return trouble;
    if (values.trouble !== null) return troubleOf(reading, element, row);
    if ((row & (ROWS_PER_TICK - 1)) === ROWS_PER_TICK - 1)
      work.tick(values.at / reading.fileBytes, 'reading the model file');
  }
  return null;
}

function rowTaker(element: PlyElement): TakeRow | Refusal {
  const names = element.properties.map((p) => p.name);
  if (element.name === 'vertex') {
    const isPlaced = ['x', 'y', 'z'].every((c) => element.properties.some((p) => p.name === c && p.countType === null));
    if (isPlaced) return takeVertex;
    return refuse('FILE_MALFORMED', 'The vertices have not x, y and z.', { where: { path: 'ply: header' } });
  }
  if (element.name === 'face' && names.some(isCornerList)) return takeFace;
  if (element.name === 'tristrips' && names.some(isCornerList)) return takeStrips;
  return skipRow;
}

function isCornerList(name: string): boolean {
  return name === 'vertex_indices' || name === 'vertex_index';
}

function takeVertex({ values, faces }: Reading, { properties }: PlyElement): null {
  const at = values.start();
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0; i < properties.length; i++) {
    const property = properties[i]!;
    const { name, countType, type } = property;
    if (countType === null && name === 'x') x = values.take(type);
    else if (countType === null && name === 'y') y = values.take(type);
    else if (countType === null && name === 'z') z = values.take(type);
    else skipProperty(values, property);
  }
  faces.addVertex(x, y, z, at);
  return null;
}

function takeFace(reading: Reading, { properties }: PlyElement): Refusal | null {
  const { values, faces } = reading;
  const at = values.start();
  for (let i = 0; i < properties.length; i++) {
    const property = properties[i]!;
    if (property.countType === null || !isCornerList(property.name)) skipProperty(values, property);
    else {
      const size = takeSize(values, property);
      if (size < 0) return badList(reading, at);
      for (let k = 0; k < size; k++) faces.addCorner(handleOf(values.take(property.type)));
    }
  }
  if (values.trouble === null) faces.endFace(at);
  return null;
}

/** Strips in one list, each ended by a negative number; every second triangle is turned. */
function takeStrips(reading: Reading, { properties }: PlyElement): Refusal | null {
  const { values, faces } = reading;
  const at = values.start();
  for (let i = 0; i < properties.length; i++) {
    const property = properties[i]!;
    if (property.countType === null || !isCornerList(property.name)) {
      skipProperty(values, property);
      continue;
    }
    const size = takeSize(values, property);
    if (size < 0) return badList(reading, at);
    let inStrip = 0;
    let a = 0;
    let b = 0;
    for (let k = 0; k < size; k++) {
      const value = values.take(property.type);
      if (value < 0) {
        inStrip = 0;
        continue;
      }
      const c = handleOf(value);
      if (++inStrip >= 3) addTriangle(faces, inStrip % 2 === 1 ? [a, b, c] : [b, a, c], at);
      a = b;
      b = c;
    }
  }
  return null;
}

function addTriangle(faces: FaceCollector, corners: readonly [number, number, number], at: number): void {
  for (const vert of corners) faces.addCorner(vert);
  faces.endFace(at);
}

function skipRow({ values }: Reading, { properties }: PlyElement): null {
  for (const property of properties) skipProperty(values, property);
  return null;
}

function skipProperty(values: PlyValues, property: PlyProperty): void {
  if (property.countType === null) values.skip(property.type, 1);
  else {
    const size = takeSize(values, property);
    values.skip(property.type, size < 0 ? Number.POSITIVE_INFINITY : size);
  }
}

/** Length of a list, or -1 when it is no length or more than the rest of the file can hold. */
function takeSize(values: PlyValues, property: PlyProperty): number {
  const size = values.take(property.countType as PlyScalar);
  return Number.isInteger(size) && size >= 0 && size <= values.room(property.type) ? size : -1;
}

/** A vertex number as a handle; what is none becomes one that no vertex has. */
function handleOf(value: number): number {
  return Number.isInteger(value) && value >= 0 && value < NO_VERTEX ? value : NO_VERTEX;
}

function badList({ values }: Reading, at: number): Refusal {
  const why = `The face at ${values.placeOf(at)} announces a list that the rest of the file cannot hold.`;
  return refuse('FILE_TRUNCATED', why, { where: { path: `ply: ${values.placeOf(at)}` } });
}

function troubleOf({ values }: Reading, element: PlyElement, row: number): Refusal {
  const { kind, at, word } = values.trouble!;
  const what = `${harmless(element.name)} ${row + 1} of ${element.count}`;
  const where = { path: `ply: ${values.placeOf(at)}` };
  if (kind === 'ends') return refuse('FILE_TRUNCATED', `The file ends (byte ${at}) inside ${what}.`, { where });
  const why = `"${word}" in ${values.placeOf(at)} (byte ${at}), part of ${what}, is no number.`;
  return refuse('FILE_MALFORMED', why, { where });
}
