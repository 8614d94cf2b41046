// Reads a 3MF file: the objects to be built, each placed by its transforms and in millimetres.
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { QUIET_WORK, type Work } from '../../base/work.ts';
import { type Mesh, meshOf } from '../../mesh/mesh.ts';
import { chainTransforms, IDENTITY, type Transform } from '../../mesh/transform.ts';
import { isAllFinite, leaveOutNotFinite } from '../leave-out.ts';
import { ZIP_LIMITS, type ZipLimits } from '../zip/read-zip.ts';
import {
  CORE_NAMESPACE,
  type ModelObject,
  type ModelPart,
  type Placement,
  PRODUCTION_NAMESPACE,
  readModelPart,
} from './model-part.ts';
import { broken, openPackage, THREEMF_WHERE, type ThreemfPackage } from './threemf-package.ts';

export interface ThreemfItem {
  readonly name: string;
  /** File space, mm. Vertices as they stand in the file: shared or not as its writer left them. */
  readonly mesh: Mesh;
}

export interface ThreemfModel {
  readonly items: readonly ThreemfItem[];
  /** As the file names it: micron, millimeter, centimeter, inch, foot or meter. */
  readonly unit: string;
}

export interface ThreemfLimits extends ZipLimits {
  readonly maxTriangles: number;
  /** Triangles of objects placed again, over all of them. */
  readonly maxCopied: number;
  /** Components within components. */
  readonly maxNesting: number;
  /** Meshes placed, over all items. */
  readonly maxPlacements: number;
  readonly maxParts: number;
}

export const THREEMF_LIMITS: ThreemfLimits = {
  ...ZIP_LIMITS,
  maxTriangles: 20_000_000,
  maxCopied: 4_000_000,
  maxNesting: 16,
  maxPlacements: 10_000,
  maxParts: 2000,
};

/** Reads every build item. Objects that only support others are left out. Components may stand in other parts of the
 *  archive (production extension); colours and textures are passed over. Mirroring transforms turn the triangles round.
 *  Cost: unpacking and scanning, about 1 s per million triangles.
 *  Findings: CORNERS_NOT_FINITE.
 *  Refuses: FILE_TRUNCATED, FILE_MALFORMED, FILE_TOO_LARGE, COORDINATE_NOT_FINITE, THREEMF_NEEDS_EXTENSION.
 *  Source: 3MF core specification 1.4; docs/methods/threemf.md. */
export function readThreemf(
  bytes: Uint8Array,
  limits: ThreemfLimits = THREEMF_LIMITS,
  work: Work = QUIET_WORK,
): Outcome<ThreemfModel> {
  const opened = openPackage(bytes, limits);
  if (!opened.ok) return opened;
  const build: Build = {
    opened: opened.value,
    limits,
    work,
    parts: new Map(),
    seen: new Set(),
    triangles: 0,
    copied: 0,
    placements: 0,
  };
  const root = partOf(build, build.opened.startPart);
  if ('ok' in root) return root;
  const scale = UNITS_MM.get(root.unit);
  if (scale === undefined)
    return broken(`The unit ${JSON.stringify(root.unit.slice(0, 40))} is none of the six allowed.`);
  const items: ThreemfItem[] = [];
  for (const item of root.items) {
    const placed: Placed[] = [];
    const trouble = place(build, item, { partName: build.opened.startPart, above: IDENTITY, path: [], into: placed });
    if (trouble !== null) return trouble;
    if (placed.length === 0) continue;
    items.push({ name: nameOf(root, item), mesh: meshOfPlaced(placed, scale) });
    work.tick(1, 'reading the model file');
  }
  return withoutNotFinite({ items, unit: root.unit }, build);
}

/** Triangles with a corner that is no finite number are left out of each item; together they are one finding. */
function withoutNotFinite({ items, unit }: ThreemfModel, build: Build): Outcome<ThreemfModel> {
  if (items.every((item) => isAllFinite(item.mesh.positions))) return done({ items, unit });
  const first = [...build.parts.values()].find((part) => part.firstNotFinite !== '')?.firstNotFinite;
  const whole = leaveOutNotFinite(joinItems(items), { path: '3mf', first: first ?? 'a transform' });
  if (!whole.ok) return whole;
  const kept: ThreemfItem[] = [];
  for (const { name, mesh } of items) {
    const part = leaveOutNotFinite(mesh, { path: '3mf', first: '' });
    if (part.ok) kept.push({ name, mesh: part.value });
  }
  return done({ items: kept, unit }, whole.findings);
}

/** All items as one mesh. */
export function joinItems(items: readonly ThreemfItem[]): Mesh {
  const first = items[0];
  if (items.length === 1 && first !== undefined) return first.mesh;
  return meshOfPlaced(
    items.map((item) => ({ ...item.mesh, transform: IDENTITY })),
    1,
  );
}

const UNITS_MM: ReadonlyMap<string, number> = new Map([
  ['micron', 0.001],
  ['millimeter', 1],
  ['centimeter', 10],
  ['inch', 25.4],
  ['foot', 304.8],
  ['meter', 1000],
]);
// Extensions whose absence does not change the shape, or which are read. Others may replace the shape and must be refused.
const HARMLESS: readonly string[] = [
  CORE_NAMESPACE,
  PRODUCTION_NAMESPACE,
  'http://schemas.microsoft.com/3dmanufacturing/material/2015/02',
  'http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07',
];

interface Build {
  readonly opened: ThreemfPackage;
  readonly limits: ThreemfLimits;
  readonly work: Work;
  readonly parts: Map<string, ModelPart>;
  /** Objects placed at least once. */
  readonly seen: Set<ModelObject>;
  triangles: number;
  /** Triangles of objects that were placed before. */
  copied: number;
  placements: number;
}

interface Placed {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly transform: Transform;
}

interface Spot {
  readonly partName: string;
  readonly above: Transform;
  /** The objects entered on the way here, to notice one that contains itself. */
  readonly path: readonly ModelObject[];
  readonly into: Placed[];
}

function partOf(build: Build, name: string): ModelPart | Refusal {
  const known = build.parts.get(name);
  if (known !== undefined) return known;
  if (build.parts.size >= build.limits.maxParts) return tooMany('model parts', build.limits.maxParts);
  const unpacked = build.opened.part(name);
  if (!unpacked.ok) return unpacked;
  const part = readModelPart(unpacked.value, build.work);
  if ('say' in part) {
    const why = `Model part: ${part.say} (byte ${part.at}).`;
    return part.notFinite ? refuse('COORDINATE_NOT_FINITE', why, THREEMF_WHERE) : broken(why);
  }
  const strange = part.requiredExtensions.find((space) => !HARMLESS.includes(space));
  if (strange !== undefined)
    return refuse(
      'THREEMF_NEEDS_EXTENSION',
      `The model cannot be read without ${JSON.stringify(strange.slice(0, 120))}.`,
      THREEMF_WHERE,
    );
  build.parts.set(name, part);
  return part;
}

function place(build: Build, placement: Placement, spot: Spot): Refusal | null {
  const partName = placement.path ?? spot.partName;
  const part = partOf(build, partName);
  if ('ok' in part) return part;
  const object = part.objects.get(placement.objectId);
  if (object === undefined)
    return broken(`An object ${JSON.stringify(placement.objectId.slice(0, 20))} is used but not defined.`);
  if (spot.path.includes(object)) return broken(`Object ${object.id} contains itself.`);
  if (spot.path.length >= build.limits.maxNesting)
    return broken(`Components are nested deeper than ${build.limits.maxNesting}.`);
  if (object.type === 'support' || object.type === 'solidsupport') return null;
  if (++build.placements > build.limits.maxPlacements) return tooMany('placed objects', build.limits.maxPlacements);
  build.triangles += object.triangles.length / 3;
  if (build.triangles > build.limits.maxTriangles) return tooMany('triangles', build.limits.maxTriangles);
  if (build.seen.has(object)) build.copied += object.triangles.length / 3;
  build.seen.add(object);
  if (build.copied > build.limits.maxCopied) return tooMany('triangles placed again', build.limits.maxCopied);
  const transform = placement.transform === undefined ? spot.above : chainTransforms(placement.transform, spot.above);
  if (!(Math.abs(determinant(transform)) > 0)) return broken(`The transform of object ${object.id} flattens it.`);
  if (object.triangles.length > 0)
    spot.into.push({ positions: object.positions, triangles: object.triangles, transform });
  const below: Spot = { partName, above: transform, path: [...spot.path, object], into: spot.into };
  for (const component of object.components) {
    const trouble = place(build, component, below);
    if (trouble !== null) return trouble;
  }
  return null;
}

function nameOf(root: ModelPart, item: Placement): string {
  const object = item.path === undefined ? root.objects.get(item.objectId) : undefined;
  return object?.name || item.name || `object ${item.objectId}`;
}

function tooMany(what: string, limit: number): Refusal {
  return refuse('FILE_TOO_LARGE', `The file holds more than ${limit} ${what}.`, THREEMF_WHERE);
}

function determinant(t: Transform): number {
  return (
    t[0]! * (t[4]! * t[8]! - t[5]! * t[7]!) -
    t[1]! * (t[3]! * t[8]! - t[5]! * t[6]!) +
    t[2]! * (t[3]! * t[7]! - t[4]! * t[6]!)
  );
}

/** Places and scales to mm, and puts one behind the other. */
function meshOfPlaced(placed: readonly Placed[], scale: number): Mesh {
  const positions = new Float64Array(placed.reduce((sum, p) => sum + p.positions.length, 0));
  const triangles = new Uint32Array(placed.reduce((sum, p) => sum + p.triangles.length, 0));
  let v = 0;
  let k = 0;
  for (const part of placed) {
    const first = v / 3;
    const turned = determinant(part.transform) < 0;
    for (let i = 0; i < part.triangles.length; i += 3, k += 3) {
      triangles[k] = part.triangles[i]! + first;
      triangles[k + 1] = part.triangles[i + (turned ? 2 : 1)]! + first;
      triangles[k + 2] = part.triangles[i + (turned ? 1 : 2)]! + first;
    }
    placePositions(part, { into: positions, at: v, scale });
    v += part.positions.length;
  }
  return meshOf(positions, triangles);
}

function placePositions(part: Placed, target: { into: Float64Array; at: number; scale: number }): void {
  const { positions: p, transform: t } = part;
  const { into, scale } = target;
  for (let i = 0, o = target.at; i < p.length; i += 3, o += 3) {
    const x = p[i]!;
    const y = p[i + 1]!;
    const z = p[i + 2]!;
    into[o] = (x * t[0]! + y * t[3]! + z * t[6]! + t[9]!) * scale;
    into[o + 1] = (x * t[1]! + y * t[4]! + z * t[7]! + t[10]!) * scale;
    into[o + 2] = (x * t[2]! + y * t[5]! + z * t[8]! + t[11]!) * scale;
  }
}
