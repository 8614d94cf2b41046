// Any model file to one welded mesh in millimetres: the way every model enters.
import { done, type Finding, finding, type Outcome, type Refusal, refuse, type Where } from '../base/findings.ts';
import { bounds, sizeOf } from '../mesh/measure.ts';
import { type Mesh, meshOf, numTris } from '../mesh/mesh.ts';
import { compactMesh, type Welded, weldMesh, weldSoup } from '../mesh/weld.ts';
import { isAsciiStl, readStl } from './stl/read-stl.ts';
import { declaredCount, looksLikeBinaryStl } from './stl/stl-soup.ts';
import { joinItems, readThreemf } from './threemf/read-threemf.ts';

/** Units a maker may name for a file. */
export type NamedUnit = 'mm' | 'cm' | 'm' | 'in';
/** Units a file may name itself. */
export type ModelUnit = NamedUnit | 'um' | 'ft';

export interface ReadModelOptions {
  /** Overrules the file; without it a 3MF says its own unit, and STL, which has none, is taken for millimetres. */
  readonly unit?: NamedUnit;
}

export interface ReadModel {
  /** Welded by exact position; mm, file space. */
  readonly mesh: Mesh;
  readonly format: 'stl-binary' | 'stl-ascii' | '3mf';
  readonly unit: ModelUnit;
  readonly unitFrom: 'file' | 'option' | 'assumed';
}

/** Below and above these a model taken for millimetres is doubtful: no helmet, and hardly a part of one. */
export const DOUBTFUL_BELOW_MM = 5;
export const DOUBTFUL_ABOVE_MM = 3000;

/** Tells the format by the bytes, never by a name, reads it, joins all items and welds.
 *  Cost: about 0.6 s per million triangles of binary STL, nearly all of it welding.
 *  Findings: those of the reader, UNIT_DOUBTFUL.  Refuses: what the readers refuse, FILE_KIND_UNKNOWN, MESH_EMPTY. */
export function readModel(bytes: Uint8Array, options: ReadModelOptions = {}): Outcome<ReadModel> {
  const read = readByKind(bytes);
  if (!read.ok) return read;
  const { welded, format, fileUnit } = read.value;
  if (numTris(welded.mesh) === 0)
    return refuse('MESH_EMPTY', 'The file holds no triangle with an area.', { where: WHERE });
  const unit = options.unit ?? fileUnit ?? 'mm';
  const unitFrom = options.unit !== undefined ? 'option' : fileUnit !== null ? 'file' : 'assumed';
  const mesh = scaled(welded.mesh, MM_PER_UNIT[unit] / MM_PER_UNIT[fileUnit ?? 'mm']);
  const sizeMm = Math.max(...sizeOf(bounds(mesh)));
  if (!Number.isFinite(sizeMm))
    return refuse('COORDINATE_NOT_FINITE', `In ${unit} the model is larger than any number.`);
  const findings = [...read.findings, ...collapsedFinding(welded)];
  if (unitFrom === 'assumed') findings.push(...unitFinding(sizeMm));
  return done({ mesh, format, unit, unitFrom }, findings);
}

const WHERE: Where = { path: 'model file' };
const MM_PER_UNIT: Readonly<Record<ModelUnit, number>> = { mm: 1, cm: 10, m: 1000, in: 25.4, um: 0.001, ft: 304.8 };
const UNIT_OF_THREEMF: ReadonlyMap<string, ModelUnit> = new Map([
  ['micron', 'um'],
  ['millimeter', 'mm'],
  ['centimeter', 'cm'],
  ['inch', 'in'],
  ['foot', 'ft'],
  ['meter', 'm'],
]);

interface RawModel {
  /** In mm by the file's own unit; as numbers stand when it has none. */
  readonly welded: Welded;
  readonly format: ReadModel['format'];
  readonly fileUnit: ModelUnit | null;
}

function readByKind(bytes: Uint8Array): Outcome<RawModel> {
  if (bytes.length === 0) return refuse('FILE_UNREADABLE', 'The file is empty (0 bytes).', { where: WHERE });
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) return readPackage(bytes);
  if (!isAsciiStl(bytes) && (markOf(bytes) !== null || !looksLikeBinaryStl(bytes))) return refuseKind(bytes);
  const read = readStl(bytes);
  if (!read.ok) return read;
  const { corners, kind } = read.value;
  const format = kind === 'ascii' ? 'stl-ascii' : 'stl-binary';
  return done({ welded: weldSoup(corners), format, fileUnit: null }, read.findings);
}

function readPackage(bytes: Uint8Array): Outcome<RawModel> {
  const read = readThreemf(bytes);
  if (!read.ok) return read;
  const { mesh, dropped } = weldMesh(joinItems(read.value.items));
  const fileUnit = UNIT_OF_THREEMF.get(read.value.unit) ?? 'mm';
  return done({ welded: { mesh: compactMesh(mesh), dropped }, format: '3mf', fileUnit }, read.findings);
}

// Formats people try, by their first bytes, so that the refusal can name what it was given.
const MARKS: readonly (readonly [start: string, kind: string])[] = [
  ['ply', 'a PLY mesh'],
  ['glTF', 'a binary glTF scene'],
  ['\x89PNG', 'a PNG picture'],
  ['\xff\xd8\xff', 'a JPEG picture'],
  ['%PDF', 'a PDF document'],
  ['{', 'JSON text'],
  ['<', 'XML or HTML text'],
  ['ISO-10303-21', 'a STEP model'],
  ['7z', 'a packed archive'],
  ['Rar!', 'a packed archive'],
  ['\x1f\x8b', 'a packed archive'],
  ['OFF', 'an OFF mesh'],
  ['#', 'a text mesh such as OBJ'],
  ['v ', 'an OBJ mesh'],
  ['mtllib', 'an OBJ mesh'],
];

function markOf(bytes: Uint8Array): string | null {
  if (looksLikeBinaryStl(bytes) && declaredCount(bytes) > 0) return null;
  for (const [start, kind] of MARKS)
    if (bytes.length >= start.length && Array.from(start).every((c, i) => bytes[i] === c.charCodeAt(0))) return kind;
  return null;
}

function refuseKind(bytes: Uint8Array): Refusal {
  const mark = markOf(bytes);
  const seen =
    mark === null
      ? `This is no model file that is known here (it begins with the bytes ${firstBytes(bytes)})`
      : `This looks like ${mark}`;
  return refuse('FILE_KIND_UNKNOWN', `${seen}; STL (binary or text) and 3MF are read.`, { where: WHERE });
}

function firstBytes(bytes: Uint8Array): string {
  return Array.from(bytes.subarray(0, 8), (b) => b.toString(16).padStart(2, '0')).join(' ');
}

function scaled(mesh: Mesh, factor: number): Mesh {
  return factor === 1
    ? mesh
    : meshOf(
        mesh.positions.map((v) => v * factor),
        mesh.triangles,
      );
}

function collapsedFinding({ dropped }: Welded): Finding[] {
  if (dropped === 0) return [];
  const say = `${dropped} triangles have two corners in one place; they were left out.`;
  return [finding('TRIANGLES_COLLAPSED', say, { where: WHERE, measured: dropped, limit: 0 })];
}

function unitFinding(sizeMm: number): Finding[] {
  if (sizeMm >= DOUBTFUL_BELOW_MM && sizeMm <= DOUBTFUL_ABOVE_MM) return [];
  const limit = sizeMm < DOUBTFUL_BELOW_MM ? DOUBTFUL_BELOW_MM : DOUBTFUL_ABOVE_MM;
  const named: readonly NamedUnit[] = ['cm', 'm', 'in'];
  const likely = named.filter((u) => sizeMm * MM_PER_UNIT[u] >= 80 && sizeMm * MM_PER_UNIT[u] <= 1500);
  const tries = likely.map((u) => `"${u}" would make it ${shortNumber(sizeMm * MM_PER_UNIT[u])} mm`).join(', ');
  const hint =
    tries === '' ? 'no usual unit makes it the size of a helmet' : `if the unit is another, name it: ${tries}`;
  const say = `Taken for millimetres, the model is ${shortNumber(sizeMm)} mm at its largest; ${hint}.`;
  return [finding('UNIT_DOUBTFUL', say, { where: WHERE, measured: sizeMm, limit, unit: 'mm' })];
}

/** 3 significant digits, never an exponent for what can be a model. */
function shortNumber(value: number): string {
  return value >= 1000 && value < 1e9 ? String(Math.round(value)) : String(Number(value.toPrecision(3)));
}
