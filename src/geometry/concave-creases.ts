// Where a surface folds inward, and how much: a line that runs in such a fold hides in it.
import type { Work } from '../base/work.ts';
import { type KnownSurface, knownSurface } from '../mesh/known-surface.ts';
import { type Mesh, NONE, numTris, numVerts } from '../mesh/mesh.ts';

export interface CreaseOptions {
  /** Bends within this distance of a point count together: a rounded fold is one fold. mm. */
  readonly gatherMm: number;
  /** So far beside a fold, along the surface, one is still in it; mm. */
  readonly besideMm: number;
  /** From there its depth falls evenly to nothing at this distance, mm. */
  readonly reachMm: number;
  /** Folds up to this angle do not count: so much a hollow surface bends from triangle to triangle. */
  readonly leastDeg: number;
  /** A fold of this angle counts as full. */
  readonly fullDeg: number;
}

export const CREASE_DEFAULTS: CreaseOptions = {
  gatherMm: 1.5,
  besideMm: 2,
  reachMm: 5,
  leastDeg: 10,
  fullDeg: 60,
};

/** Per triangle, at its middle, 0 to 1: how deep it lies in an inward fold. Bends are gathered with their sign, inward positive, so that the
 *  roughness of a scan cancels out: the sum of (bend x length of edge) within the ball of gatherMm, over the ball's width, which for one
 *  straight fold is its angle. Cost: O(n) where edges are not much shorter than gatherMm; about 0.5 s per million triangles.
 *  Method: curvature measure of edges (Cohen-Steiner, Morvan 2003), spread by distance; docs/methods/seam-price.md.
 *  Weak: the two rims of a groove narrower than gatherMm take away from its bottom. */
export function concaveCreases(
  mesh: Mesh,
  work: Work,
  options: CreaseOptions = CREASE_DEFAULTS,
  surface: KnownSurface = knownSurface(mesh),
): Float32Array {
  const edges = bentEdges(mesh, surface);
  const depth = gatheredBends(mesh, edges, work, options);
  return depthOfTriangles(mesh, spreadDepth(mesh, edges, depth, options), options);
}

interface BentEdges {
  /** Ends of edge e: 2 e and 2 e + 1. */
  readonly ends: Uint32Array;
  /** Radians, inward positive. */
  readonly bend: Float32Array;
  readonly lengthMm: Float32Array;
  /** Edges at vertex v: atVert[start[v] .. start[v + 1]). */
  readonly start: Uint32Array;
  readonly atVert: Uint32Array;
}

function bentEdges(mesh: Mesh, { twins, normals }: KnownSurface): BentEdges {
  const { positions: p, triangles: t } = mesh;
  let num = 0;
  for (let h = 0; h < twins.length; h++) if (twins[h]! > h) num++;
  const ends = new Uint32Array(num * 2);
  const bend = new Float32Array(num);
  const lengthMm = new Float32Array(num);
  const start = new Uint32Array(numVerts(mesh) + 1);
  let e = 0;
  for (let h = 0; h < twins.length; h++) {
    const twin = twins[h]!;
    if (twin === NONE || twin < h) continue;
    const a = t[h]!;
    const b = t[h % 3 === 2 ? h - 2 : h + 1]!;
    const ex = p[b * 3]! - p[a * 3]!;
    const ey = p[b * 3 + 1]! - p[a * 3 + 1]!;
    const ez = p[b * 3 + 2]! - p[a * 3 + 2]!;
    const length = Math.sqrt(ex * ex + ey * ey + ez * ez);
    const i = h - (h % 3);
    const j = twin - (twin % 3);
    const nx = normals[i]!;
    const ny = normals[i + 1]!;
    const nz = normals[i + 2]!;
    const mx = normals[j]!;
    const my = normals[j + 1]!;
    const mz = normals[j + 2]!;
    const across = (ny * mz - nz * my) * ex + (nz * mx - nx * mz) * ey + (nx * my - ny * mx) * ez;
    const along = nx * mx + ny * my + nz * mz;
    ends[e * 2] = a;
    ends[e * 2 + 1] = b;
    lengthMm[e] = length;
    bend[e] = length > 0 ? Math.atan2(-across / length, along) : 0;
    start[a + 1] = start[a + 1]! + 1;
    start[b + 1] = start[b + 1]! + 1;
    e++;
  }
  for (let v = 0; v + 1 < start.length; v++) start[v + 1] = start[v + 1]! + start[v]!;
  const next = start.slice();
  const atVert = new Uint32Array(num * 2);
  for (let i = 0; i < ends.length; i++) {
    const v = ends[i]!;
    atVert[next[v]!] = i >> 1;
    next[v] = next[v]! + 1;
  }
  return { ends, bend, lengthMm, start, atVert };
}

/** Below this no edge at a vertex is worth gathering for. */
const LEAST_BEND = (3 * Math.PI) / 180;
/** Vertices looked at around one: a mesh far finer than gatherMm is gathered in a smaller ball. */
const MOST_AROUND = 256;

/** Per vertex, 0 to 1. */
function gatheredBends(mesh: Mesh, edges: BentEdges, work: Work, options: CreaseOptions): Float32Array {
  const { ends, bend, lengthMm, start, atVert } = edges;
  const { positions: p } = mesh;
  const num = numVerts(mesh);
  const out = new Float32Array(num);
  const vertMark = new Int32Array(num).fill(NONE);
  const edgeMark = new Int32Array(bend.length).fill(NONE);
  const queue = new Uint32Array(MOST_AROUND);
  const radius2 = options.gatherMm ** 2;
  const perRad = 1 / (2 * options.gatherMm);
  const least = (options.leastDeg * Math.PI) / 180;
  const span = ((options.fullDeg - options.leastDeg) * Math.PI) / 180;
  for (let v = 0; v < num; v++) {
    if ((v & 0xfff) === 0) work.tick(v / num, 'looking for creases');
    if (!isBent(edges, v)) continue;
    const x = p[v * 3]!;
    const y = p[v * 3 + 1]!;
    const z = p[v * 3 + 2]!;
    let sum = 0;
    let count = 1;
    queue[0] = v;
    vertMark[v] = v;
    for (let head = 0; head < count; head++) {
      const u = queue[head]!;
      for (let k = start[u]!; k < start[u + 1]!; k++) {
        const e = atVert[k]!;
        if (edgeMark[e] === v) continue;
        edgeMark[e] = v;
        const w = ends[e * 2]! === u ? ends[e * 2 + 1]! : ends[e * 2]!;
        const wx = p[w * 3]! - x;
        const wy = p[w * 3 + 1]! - y;
        const wz = p[w * 3 + 2]! - z;
        const isIn = wx * wx + wy * wy + wz * wz < radius2;
        if (isIn && vertMark[w] !== v && count < MOST_AROUND) {
          vertMark[w] = v;
          queue[count++] = w;
        }
        if (bend[e] === 0) continue;
        const ux = p[u * 3]! - x;
        const uy = p[u * 3 + 1]! - y;
        const uz = p[u * 3 + 2]! - z;
        const share = isIn ? 1 : shareInBall([ux, uy, uz], [wx - ux, wy - uy, wz - uz], radius2);
        sum += bend[e]! * lengthMm[e]! * share;
      }
    }
    out[v] = Math.max(0, Math.min(1, (sum * perRad - least) / span));
  }
  return out;
}

function isBent({ start, atVert, bend }: BentEdges, v: number): boolean {
  for (let k = start[v]!; k < start[v + 1]!; k++) if (bend[atVert[k]!]! > LEAST_BEND) return true;
  return false;
}

/** Share of the way from a point inside a ball about the origin along `by` that lies inside. */
function shareInBall(
  [x, y, z]: readonly [number, number, number],
  [dx, dy, dz]: readonly [number, number, number],
  radius2: number,
): number {
  const a = dx * dx + dy * dy + dz * dz;
  const b = x * dx + y * dy + z * dz;
  const c = x * x + y * y + z * z - radius2;
  if (a === 0 || c > 0) return 0;
  return Math.min(1, (-b + Math.sqrt(b * b - a * c)) / a);
}

const NUM_STEPS = 64;

interface Spread {
  /** Per vertex: depth of the fold that counts most there, and the way to it along edges, mm. */
  readonly depth: Float32Array;
  readonly wayMm: Float32Array;
}

/** How much of a fold is left so far from it. */
function shareAt(wayMm: number, { besideMm, reachMm }: CreaseOptions): number {
  return wayMm <= besideMm ? 1 : Math.max(0, (reachMm - wayMm) / (reachMm - besideMm));
}

/** Every vertex learns of the fold that counts most there. Folds that count most go first, in steps of what they count. */
function spreadDepth(mesh: Mesh, edges: BentEdges, depth: Float32Array, options: CreaseOptions): Spread {
  const { start, atVert, ends, lengthMm } = edges;
  const wayMm = new Float32Array(depth.length);
  const counts = depth.slice();
  const steps: number[][] = Array.from({ length: NUM_STEPS }, () => []);
  const stepOf = (count: number): number => Math.min(NUM_STEPS - 1, (count * NUM_STEPS) | 0);
  for (let v = 0; v < numVerts(mesh); v++) if (depth[v]! > 1 / NUM_STEPS) steps[stepOf(depth[v]!)]!.push(v);
  for (let step = NUM_STEPS - 1; step > 0; step--) {
    const here = steps[step]!;
    for (let head = 0; head < here.length; head++) {
      const v = here[head]!;
      if (stepOf(counts[v]!) > step) continue;
      for (let k = start[v]!; k < start[v + 1]!; k++) {
        const e = atVert[k]!;
        const w = ends[e * 2]! === v ? ends[e * 2 + 1]! : ends[e * 2]!;
        const way = wayMm[v]! + lengthMm[e]!;
        const count = depth[v]! * shareAt(way, options);
        const isMore = count > counts[w]! + 1e-4;
        const isNearer = count > counts[w]! - 1e-4 && count > 0 && way < wayMm[w]! - 1e-3;
        if (!isMore && !isNearer) continue;
        depth[w] = depth[v]!;
        wayMm[w] = way;
        counts[w] = count;
        if (stepOf(count) > 0) steps[stepOf(count)]!.push(w);
      }
    }
    here.length = 0;
  }
  return { depth, wayMm };
}

function depthOfTriangles(mesh: Mesh, { depth, wayMm }: Spread, options: CreaseOptions): Float32Array {
  const { positions: p, triangles: t } = mesh;
  const out = new Float32Array(numTris(mesh));
  for (let tri = 0; tri < out.length; tri++) {
    const a = t[tri * 3]! * 3;
    const b = t[tri * 3 + 1]! * 3;
    const c = t[tri * 3 + 2]! * 3;
    if (depth[a / 3]! + depth[b / 3]! + depth[c / 3]! === 0) continue;
    const x = (p[a]! + p[b]! + p[c]!) / 3;
    const y = (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3;
    const z = (p[a + 2]! + p[b + 2]! + p[c + 2]!) / 3;
    let most = 0;
    for (const v of [a, b, c]) {
      // a corner is in the fold when the middle is not: its own way to the middle counts for what is left of it
      const toMiddle = Math.sqrt((p[v]! - x) ** 2 + (p[v + 1]! - y) ** 2 + (p[v + 2]! - z) ** 2);
      most = Math.max(most, depth[v / 3]! * shareAt(wayMm[v / 3]! + toMiddle, options));
    }
    out[tri] = most;
  }
  return out;
}
