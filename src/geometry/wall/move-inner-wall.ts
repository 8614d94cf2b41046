// Gives a scaled shell the wall it had, or a chosen one, by moving its inner surface; the outer surface stays as it is.
import { partOfWork, QUIET_WORK, type Work } from '../../base/work.ts';
import { type BoundingTree, buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoints } from '../../mesh/closest-point.ts';
import { type Mesh, meshOf, NONE, numTris, numVerts, type Vec3 } from '../../mesh/mesh.ts';
import { selfCrossings } from '../crossings/self-crossings.ts';
import { areaPercentiles } from './area-percentiles.ts';
import { INNER_SIDE, innerSide, OUTER_SIDE } from './inner-side.ts';
import {
  blendBetween,
  keepSlope,
  smoothOver,
  undoFolds,
  type VertexNeighbours,
  vertexNeighbours,
} from './shift-field.ts';
import { shiftRoom } from './shift-room.ts';
import { wallThickness } from './wall-thickness.ts';

export type WantedWall =
  /** Every wall becomes this share of what it is: 1 / k after a shell was scaled by k. */
  | { readonly kind: 'share'; readonly share: number }
  /** Every wall becomes so thick, mm. */
  | { readonly kind: 'mm'; readonly wallMm: number };

export interface MovedWall {
  readonly mesh: Mesh;
  /** numTris: side of each triangle (inner-side.ts). */
  readonly side: Uint8Array;
  /** numVerts, mm, NaN where a vertex does not move of itself: the distance of the inner surface to the outer one before, as wanted, and now. */
  readonly beforeMm: Float64Array;
  readonly wantedMm: Float64Array;
  readonly afterMm: Float64Array;
  /** Over the area of the inner side: share by which that distance is off, not exceeded by 5, 50 and 95 percent, and the largest;
   *  positive is too thick. NaN when no inner side was found. */
  readonly off: { readonly p5: number; readonly p50: number; readonly p95: number; readonly worst: number };
  /** The vertex where it is off the most; NONE when none is off. */
  readonly worstVert: number;
  /** Area of the inner side, mm2. */
  readonly innerMm2: number;
  /** Longest way of a vertex, mm. */
  readonly farthestMm: number;
  /** Vertices held back so that the surface neither folds nor newly crosses itself. */
  readonly heldBack: number;
  /** Pairs of triangles that cross, before and now. */
  readonly crossings: { readonly before: number; readonly after: number; readonly firstAtMm: Vec3 | null };
}

export const MOVE_DEFAULTS = {
  /** Moves and measures this often: each corrects what the one before missed. */
  passes: 4,
  /** A wall thicker than the middle wall by this factor is a boss: its inner side goes as far as that of a wall just so thick. */
  bossFactor: 2.5,
  /** The way of a vertex differs from its neighbour's by no more than this share of their distance. */
  slope: 0.8,
  /** Times the ways are evened out with their neighbours', in each pass. */
  smoothings: 1,
  /** Triangles at which the wall is measured to tell rims from walls, when it is not given. */
  mostMeasured: 50_000,
  /** Times that vertices at new crossings are held back. */
  crossingRounds: 4,
} as const;

/** Moves the vertices of the inner side along their normals so that their distance to the outer surface is the wanted one; vertices of the
 *  outer side are copied bit for bit and triangles stay the same. Rims follow between the two. The way is limited by the wall it goes
 *  into and by the hollow it goes into, smoothed, and taken back where a triangle would turn over or newly cross another.
 *  `wallPerTriMm` is the wall of the mesh as it is given (`wallThickness`), if it is known. Space: that of the mesh, mm.
 *  Cost: O(n log n), three searches for crossings or more and 500,000 rays; not timed on a million. Method: docs/methods/re-walling.md.
 *  Weak: ribs and bosses inside keep the size they have; under fine relief the inner side follows only as far as its triangles do. */
export function moveInnerWall(
  mesh: Mesh,
  tree: BoundingTree,
  wanted: WantedWall,
  options: { readonly wallPerTriMm?: Float32Array; readonly work?: Work } = {},
): MovedWall {
  const { work = QUIET_WORK } = options;
  const { mostMeasured, passes } = MOVE_DEFAULTS;
  const wallMm = options.wallPerTriMm ?? wallThickness(mesh, tree, partOfWork(work, 0, 0.3), { mostMeasured }).perTriMm;
  const side = innerSide(mesh, tree, wallMm, partOfWork(work, 0.3, 0.5));
  const field = startField(mesh, side);
  const outer = buildBoundingTree(outerSide(mesh, side), partOfWork(work, 0.5, 0.6));
  const beforeMm = distances(outer, mesh.positions, field, partOfWork(work, 0.6, 0.65));
  const wantedMm = wantedWall(beforeMm, field, wanted);
  let shift: Float64Array = new Float64Array(mesh.positions.length);
  let nowMm = beforeMm;
  for (let pass = 0; pass < passes; pass++) {
    const part = partOfWork(work, 0.65 + (0.15 * pass) / passes, 0.65 + (0.15 * (pass + 1)) / passes);
    part.tick(0, 'moving the inner wall');
    nextWays({ mesh, tree, field, beforeMm, wantedMm }, nowMm);
    shift = shiftOf(mesh, field);
    nowMm = distances(outer, plus(mesh.positions, shift), field, part);
  }
  const crossings = takeBackCrossings(mesh, field, shift, partOfWork(work, 0.8, 1));
  const moved = meshOf(plus(mesh.positions, shift), mesh.triangles);
  const afterMm = distances(outer, moved.positions, field, QUIET_WORK);
  return {
    mesh: moved,
    side,
    beforeMm,
    wantedMm,
    afterMm,
    ...offShares(afterMm, wantedMm, field),
    innerMm2: field.areaMm2.reduce((sum, area) => sum + area, 0),
    farthestMm: farthest(shift),
    heldBack: field.held.reduce((sum, one) => sum + one, 0),
    crossings,
  };
}

interface Field {
  /** numVerts: FIXED, FREE (moves along its normal) or LED (goes between its neighbours). */
  readonly role: Uint8Array;
  /** numVerts: 1 where FREE. */
  readonly free: Uint8Array;
  /** numVerts: a third of the inner triangles at it. */
  readonly areaMm2: Float64Array;
  /** numVerts x 3: unit normal into the wall, of the inner triangles at a vertex. */
  readonly inward: Float64Array;
  /** numVerts: way into the wall, mm; negative into the hollow. */
  readonly alongMm: Float64Array;
  readonly near: VertexNeighbours;
  /** numVerts: 1 where the way was cut short. */
  readonly held: Uint8Array;
}

const FIXED = 0;
const FREE = 1;
const LED = 2;

function startField(mesh: Mesh, side: Uint8Array): Field {
  const { positions: p, triangles: t } = mesh;
  const num = numVerts(mesh);
  const role = new Uint8Array(num).fill(LED);
  const inward = new Float64Array(num * 3);
  for (let tri = 0; tri < numTris(mesh); tri++) {
    const [a, b, c] = [t[tri * 3]! * 3, t[tri * 3 + 1]! * 3, t[tri * 3 + 2]! * 3];
    for (let k = 0; k < 3; k++) {
      const vert = t[tri * 3 + k]!;
      if (side[tri] === OUTER_SIDE) role[vert] = FIXED;
      else if (side[tri] === INNER_SIDE && role[vert] !== FIXED) role[vert] = FREE;
    }
    if (side[tri] !== INNER_SIDE) continue;
    for (let k = 0; k < 3; k++) {
      const [d, e] = [(k + 1) % 3, (k + 2) % 3];
      const n = (p[b + d]! - p[a + d]!) * (p[c + e]! - p[a + e]!) - (p[b + e]! - p[a + e]!) * (p[c + d]! - p[a + d]!);
      for (const at of [a, b, c]) inward[at + k] = inward[at + k]! - n;
    }
  }
  const areaMm2 = new Float64Array(num);
  for (let v = 0; v < num; v++) {
    const length = Math.hypot(inward[v * 3]!, inward[v * 3 + 1]!, inward[v * 3 + 2]!);
    for (let k = 0; k < 3; k++) inward[v * 3 + k] = length > 0 ? inward[v * 3 + k]! / length : 0;
    areaMm2[v] = role[v] === FREE ? length / 6 : 0;
  }
  const free = Uint8Array.from(role, (r) => (r === FREE ? 1 : 0));
  const near = vertexNeighbours(mesh);
  return { role, free, areaMm2, inward, alongMm: new Float64Array(num), near, held: new Uint8Array(num) };
}

function outerSide(mesh: Mesh, side: Uint8Array): Mesh {
  let num = 0;
  for (const s of side) if (s === OUTER_SIDE) num++;
  const triangles = new Uint32Array(num * 3);
  let at = 0;
  for (let tri = 0; tri < side.length; tri++) {
    if (side[tri] !== OUTER_SIDE) continue;
    for (let k = 0; k < 3; k++) triangles[at++] = mesh.triangles[tri * 3 + k]!;
  }
  return meshOf(mesh.positions, triangles);
}

const BATCH = 4096;

/** Distance of each free vertex to the outer surface, NaN for the others. */
function distances(outer: BoundingTree, positions: Float64Array, { free }: Field, work: Work): Float64Array {
  const out = new Float64Array(free.length).fill(Number.NaN);
  const verts = new Uint32Array(free.length);
  let num = 0;
  for (let v = 0; v < free.length; v++) if (free[v] === 1) verts[num++] = v;
  for (let first = 0; first < num; first += BATCH) {
    work.tick(first / num, 'measuring to the outer surface');
    const some = verts.subarray(first, Math.min(num, first + BATCH));
    const points = new Float64Array(some.length * 3);
    for (let i = 0; i < points.length; i++) points[i] = positions[some[(i / 3) | 0]! * 3 + (i % 3)]!;
    const found = { tri: new Int32Array(some.length), distanceMm: new Float64Array(some.length) };
    closestPoints(outer, points, found);
    for (let i = 0; i < some.length; i++) if (found.distanceMm[i]! < Infinity) out[some[i]!] = found.distanceMm[i]!;
  }
  return out;
}

/** Wanted wall of free vertices; of a boss as much less or more as a wall at the limit would be. */
function wantedWall(beforeMm: Float64Array, { areaMm2 }: Field, wanted: WantedWall): Float64Array {
  const middle = areaPercentiles({ perTriMm: measuredOnly(beforeMm), areaMm2 }, [0.5])[0]!;
  const limit = MOVE_DEFAULTS.bossFactor * middle;
  return beforeMm.map((mm) => {
    const asWall = mm > limit ? (wanted.kind === 'mm' ? middle : limit) : mm;
    const target = wanted.kind === 'mm' ? wanted.wallMm : asWall * wanted.share;
    return Math.max(0, mm + target - asWall);
  });
}

function measuredOnly(mm: Float64Array): Float32Array {
  return Float32Array.from(mm, (x) => (Number.isNaN(x) ? Infinity : x));
}

interface Pass {
  readonly mesh: Mesh;
  readonly tree: BoundingTree;
  readonly field: Field;
  readonly beforeMm: Float64Array;
  readonly wantedMm: Float64Array;
}

/** Adds to each way what the wall is still off, and makes the ways fit to be gone. */
function nextWays({ mesh, tree, field, beforeMm, wantedMm }: Pass, nowMm: Float64Array): void {
  const { near, role, free, alongMm, inward } = field;
  const more = nowMm.map((mm, v) => (Number.isNaN(mm) ? 0 : mm - wantedMm[v]!));
  for (let i = 0; i < MOVE_DEFAULTS.smoothings; i++) smoothOver(near, free, more);
  for (let v = 0; v < alongMm.length; v++) {
    if (free[v] === 0) continue;
    const asked = Math.abs(beforeMm[v]! - wantedMm[v]!) * MOST_OF_ASKED;
    alongMm[v] = Math.max(-asked, Math.min(asked, alongMm[v]! + more[v]!)) || 0;
  }
  shiftRoom(tree, mesh, { free, inward, alongMm, wallMm: beforeMm });
  keepSlope(mesh, near, { role, fixed: FIXED, led: LED, slope: MOVE_DEFAULTS.slope, alongMm });
}

/** No way is longer than this many times what the wall is to change by: where it seems to need more, it is not that wall which is near. */
const MOST_OF_ASKED = 2;

/** numVerts x 3, without folds. */
function shiftOf(mesh: Mesh, field: Field): Float64Array {
  const shift = new Float64Array(mesh.positions.length);
  writeShift(field, shift);
  undoFolds(mesh, field.near, {
    alongMm: field.alongMm,
    held: field.held,
    shift,
    write: () => writeShift(field, shift),
  });
  return shift;
}

function writeShift({ role, free, inward, alongMm, near }: Field, shift: Float64Array): void {
  for (let v = 0; v < free.length; v++) {
    for (let c = 0; c < 3; c++) shift[v * 3 + c] = free[v] === 1 ? inward[v * 3 + c]! * alongMm[v]! : 0;
  }
  blendBetween(near, { role, led: LED }, shift);
}

/** Takes the ways back, a part at a time, round triangles that cross others and did not before. */
function takeBackCrossings(mesh: Mesh, field: Field, shift: Float64Array, work: Work): MovedWall['crossings'] {
  const { crossingRounds } = MOVE_DEFAULTS;
  const before = selfCrossings(mesh, partOfWork(work, 0, 0.3), { listLimit: 0 });
  let now = before;
  for (let round = 0; round <= crossingRounds; round++) {
    const part = partOfWork(
      work,
      0.3 + (0.7 * round) / (crossingRounds + 1),
      0.3 + (0.7 * (round + 1)) / (crossingRounds + 1),
    );
    now = selfCrossings(meshOf(plus(mesh.positions, shift), mesh.triangles), part, { listLimit: 0 });
    if (round === crossingRounds) break;
    const at = new Float64Array(field.free.length).fill(1);
    let num = 0;
    for (let h = 0; h < mesh.triangles.length; h++) {
      const tri = Math.floor(h / 3);
      if (now.crossed[tri] === 0 || before.crossed[tri] === 1) continue;
      at[mesh.triangles[h]!] = 0;
      num++;
    }
    if (num === 0) break;
    takeBack(field, at, shift);
  }
  return { before: before.pairs, after: now.pairs, firstAtMm: now.firstAtMm };
}

const TAKEN_BACK = 0.4;
const RINGS_BACK = 3;

/** at: 0 at the vertices to hold, 1 elsewhere; the rings of neighbours round them are held less and less. */
function takeBack({ near, held }: Field, at: Float64Array, shift: Float64Array): void {
  let edge = at;
  for (let ring = 1; ring <= RINGS_BACK; ring++) {
    const wider = edge.slice();
    for (let v = 0; v < wider.length; v++) {
      if (edge[v] === 1) continue;
      for (let i = near.start[v]!; i < near.start[v + 1]!; i++) {
        const other = near.list[i]!;
        wider[other] = Math.min(wider[other]!, Math.max(edge[v]!, ring / (RINGS_BACK + 1)));
      }
    }
    edge = wider;
  }
  for (let v = 0; v < edge.length; v++) {
    if (edge[v] === 1) continue;
    const keep = TAKEN_BACK + (1 - TAKEN_BACK) * edge[v]!;
    for (let c = 0; c < 3; c++) shift[v * 3 + c] = shift[v * 3 + c]! * keep;
    held[v] = 1;
  }
}

/** The same number, bit for bit, where nothing is added. */
function plus(positions: Float64Array, shift: Float64Array): Float64Array {
  return positions.map((x, i) => (shift[i] === 0 ? x : x + shift[i]!));
}

function offShares(
  afterMm: Float64Array,
  wantedMm: Float64Array,
  { areaMm2 }: Field,
): Pick<MovedWall, 'off' | 'worstVert'> {
  const ratio = measuredOnly(afterMm.map((mm, v) => (wantedMm[v]! > 0 ? mm / wantedMm[v]! : Number.NaN)));
  const [p5, p50, p95] = areaPercentiles({ perTriMm: ratio, areaMm2 }, [0.05, 0.5, 0.95]) as [number, number, number];
  let worst = 0;
  let worstVert = NONE;
  for (let v = 0; v < ratio.length; v++) {
    const r = ratio[v]!;
    if (!(r < Infinity) || Math.abs(r - 1) <= Math.abs(worst)) continue;
    worst = r - 1;
    worstVert = v;
  }
  return { off: { p5: p5 - 1, p50: p50 - 1, p95: p95 - 1, worst }, worstVert };
}

function farthest(shift: Float64Array): number {
  let most = 0;
  for (let i = 0; i < shift.length; i += 3) most = Math.max(most, Math.hypot(shift[i]!, shift[i + 1]!, shift[i + 2]!));
  return most;
}
