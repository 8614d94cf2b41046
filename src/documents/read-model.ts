// Any model file to one welded mesh in millimetres: the way every model enters.
import { done, type Finding, finding, type Outcome, refuse } from '../base/findings.ts';
import { partOfWork, QUIET_WORK, type Work } from '../base/work.ts';
import { bounds, sizeOf } from '../mesh/measure.ts';
import { type Mesh, meshOf, numTris } from '../mesh/mesh.ts';
import { type Welded, weldMesh, weldSoup } from '../mesh/weld.ts';
import type { ReadMesh } from './face-collector.ts';
import type { Resources } from './gltf/gltf-buffers.ts';
import { readGltf } from './gltf/read-gltf.ts';
import { type ModelFormat, modelFormat } from './model-kind.ts';
import { doubtUnit, guessUnit, MM_PER_UNIT, type ModelUnit, type NamedUnit } from './model-unit.ts';
import { readObj } from './obj/read-obj.ts';
import { readOff } from './off/read-off.ts';
import { readPly } from './ply/read-ply.ts';
import { readStl } from './stl/read-stl.ts';
import { joinItems, readThreemf } from './threemf/read-threemf.ts';

export interface ReadModelOptions {
  /** Overrules the file and the guess. */
  readonly unit?: NamedUnit;
  /** Files beside a .gltf, by plain name; null for one that is not there. */
  readonly resources?: Resources;
}

export interface ReadModel {
  /** Welded by exact position, vertices in order of first use; mm, file space. */
  readonly mesh: Mesh;
  readonly format: ModelFormat;
  readonly unit: ModelUnit;
  /** assumed: the file has none, and millimetres are plausible or nothing is. guessed: another unit, by the size. */
  readonly unitFrom: 'file' | 'option' | 'assumed' | 'guessed';
  /** Objects, items, solids or placed meshes in the file; they are joined to one mesh. */
  readonly parts: number;
}

/** Tells the format by the bytes, reads it, joins all parts, welds, and settles the unit.
 *  Cost: about 0.6 s per million triangles of binary STL, 1 s of OBJ, nearly half of it welding; ticks while it reads.
 *  Findings: those of the readers, TRIANGLES_COLLAPSED, UNIT_GUESSED, UNIT_DOUBTFUL.
 *  Refuses: what the readers refuse, FILE_KIND_UNKNOWN, MESH_EMPTY. */
export function readModel(
  bytes: Uint8Array,
  options: ReadModelOptions = {},
  work: Work = QUIET_WORK,
): Outcome<ReadModel> {
  const format = modelFormat(bytes);
  if (typeof format !== 'string') return format;
  const read = readAs(format, { bytes, resources: options.resources ?? (() => null) }, partOfWork(work, 0, 0.6));
  if (!read.ok) return read;
  const { welded, fileUnit, parts } = read.value;
  work.tick(0.95, 'welding the model');
  if (numTris(welded.mesh) === 0)
    return refuse('MESH_EMPTY', 'The file holds no triangle with an area.', { where: WHERE });
  const largest = Math.max(...sizeOf(bounds(welded.mesh)));
  const settled = settleUnit(options.unit, fileUnit, largest);
  const factor = MM_PER_UNIT[settled.unit] / MM_PER_UNIT[fileUnit ?? 'mm'];
  if (!Number.isFinite(largest * factor))
    return refuse('COORDINATE_NOT_FINITE', `In ${settled.unit} the model is larger than any number.`, { where: WHERE });
  const mesh = scaled(welded.mesh, factor);
  const findings = [...read.findings, ...collapsedFinding(welded), ...settled.findings];
  return done({ mesh, format, unit: settled.unit, unitFrom: settled.unitFrom, parts }, findings);
}

const WHERE = { path: 'model file' };
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
  readonly fileUnit: ModelUnit | null;
  readonly parts: number;
}

function readAs(
  format: ModelFormat,
  { bytes, resources }: { bytes: Uint8Array; resources: Resources },
  work: Work,
): Outcome<RawModel> {
  switch (format) {
    case 'stl-binary':
    case 'stl-ascii':
      return readSoup(bytes, work);
    case '3mf':
      return readPackage(bytes, work);
    case 'obj':
      return indexed(readObj(bytes, work), null);
    case 'ply':
      return indexed(readPly(bytes, work), null);
    case 'off':
      return indexed(readOff(bytes, work), null);
    case 'gltf':
    case 'glb':
      return indexed(readGltf(bytes, { resources }, work), 'm');
  }
}

function readSoup(bytes: Uint8Array, work: Work): Outcome<RawModel> {
  const read = readStl(bytes, work);
  if (!read.ok) return read;
  const { corners, parts } = read.value;
  return done({ welded: weldSoup(corners), fileUnit: null, parts }, read.findings);
}

function readPackage(bytes: Uint8Array, work: Work): Outcome<RawModel> {
  const read = readThreemf(bytes, undefined, work);
  if (!read.ok) return read;
  const { items, unit } = read.value;
  const fileUnit = UNIT_OF_THREEMF.get(unit) ?? 'mm';
  return done({ welded: weldMesh(joinItems(items)), fileUnit, parts: Math.max(1, items.length) }, read.findings);
}

function indexed(read: Outcome<ReadMesh>, fileUnit: ModelUnit | null): Outcome<RawModel> {
  if (!read.ok) return read;
  const { mesh, parts } = read.value;
  return done({ welded: weldMesh(mesh), fileUnit, parts }, read.findings);
}

function settleUnit(
  option: NamedUnit | undefined,
  fileUnit: ModelUnit | null,
  largest: number,
): { unit: ModelUnit; unitFrom: ReadModel['unitFrom']; findings: readonly Finding[] } {
  if (option !== undefined) return { unit: option, unitFrom: 'option', findings: [] };
  if (fileUnit !== null) return { unit: fileUnit, unitFrom: 'file', findings: doubtUnit(largest, fileUnit) };
  return guessUnit(largest);
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
