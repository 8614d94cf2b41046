// Of a surface cut along its crossings, what lies on the outside of the body: the rest is within it.
import { partOfWork, type Work } from '../../../base/work.ts';
import { buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { type Mesh, meshOf, numTris } from '../../../mesh/mesh.ts';
import { surfaceCheck } from '../../../mesh/topology.ts';
import { compactMesh } from '../../../mesh/weld.ts';
import { buildWindingTree, type WindingTree, windingFast } from '../../winding/winding-number.ts';
import { borderEdges, patchLevels } from './uncross-levels.ts';
import { settleUneven } from './uncross-settle.ts';

export interface OutsidePart {
  readonly mesh: Mesh;
  /** Patches that were left out. */
  readonly dropped: number;
}

/** Keeps the patches (triangles joined over edges with two faces) that have winding number 0 on their outer side and 1 on their inner:
 *  the boundary of what the surface winds round at least once. Where lobes of a body overlap that is their union; what is folded
 *  inside out vanishes. source: the surface before it was cut; sourceTri: which of its triangles each of `mesh` is a part of.
 *  Cost: O(n log n) and some microseconds a patch, of at most MOST_MEASURED patches in each group that hangs together.
 *  Method: differences over crossing lines (`patchLevels`); their common height by generalised winding numbers on both sides of the
 *  roundest triangles; what rounding spoilt is settled by what closes. */
export function outsideOf(mesh: Mesh, source: Mesh, sourceTri: Int32Array, work: Work): OutsidePart {
  const { shells: patches, shellOfTri: patchOfTri } = surfaceCheck(mesh);
  work.tick(0.05, DOING);
  const edges = borderEdges(mesh);
  work.tick(0.08, DOING);
  const { groupOf, levelOf } = patchLevels({ mesh, patchOfTri, patches, edges, source, sourceTri });
  work.tick(0.1, DOING);
  const winding = buildWindingTree(buildBoundingTree(mesh, partOfWork(work, 0.1, 0.4)));
  work.tick(0.5, DOING);
  const heights = groupHeights({ mesh, winding, patchOfTri, groupOf, levelOf }, partOfWork(work, 0.5, 1));
  const isKept = levelOf.map((level, patch) => (level + heights[groupOf[patch]!]! === 0 ? 1 : 0));
  settleUneven(mesh, patchOfTri, edges, isKept);
  const kept = mesh.triangles.filter((_, h) => isKept[patchOfTri[Math.trunc(h / 3)]!] === 1);
  const dropped = isKept.reduce((sum, one) => sum + 1 - one, 0);
  return { mesh: compactMesh(meshOf(mesh.positions, kept)), dropped };
}

const DOING = 'telling inside from outside';

interface Grouped {
  readonly mesh: Mesh;
  readonly winding: WindingTree;
  readonly patchOfTri: Int32Array;
  readonly groupOf: Int32Array;
  readonly levelOf: Int32Array;
}

/** Per group the winding number before a patch of level 0: what most of its roundest patches measure, by their size. A group too narrow to
 *  be measured is taken to lie outside everything else. */
function groupHeights(grouped: Grouped, work: Work): Int32Array {
  const { mesh, winding, patchOfTri, groupOf, levelOf } = grouped;
  const patches = groupOf.length;
  const best = roundestTris(mesh, patchOfTri, patches, partOfWork(work, 0, 0.4));
  const order = Int32Array.from(groupOf.keys()).sort(
    (a, b) => groupOf[a]! - groupOf[b]! || best.sizes[b * TRIED]! - best.sizes[a * TRIED]!,
  );
  const heights = new Int32Array(patches);
  for (let i = 0; i < patches; ) {
    const group = groupOf[order[i]!]!;
    const votes = new Map<number, number>();
    let lowest = Infinity;
    for (let measured = 0; i < patches && groupOf[order[i]!] === group; i++) {
      if ((i & 31) === 0) work.tick(0.4 + (0.6 * i) / patches, DOING);
      const patch = order[i]!;
      lowest = Math.min(lowest, levelOf[patch]!);
      if (measured >= MOST_MEASURED) continue;
      const outer = measuredPatch(mesh, winding, best.tris.subarray(patch * TRIED, (patch + 1) * TRIED));
      if (Number.isNaN(outer)) continue;
      measured++;
      const height = outer - levelOf[patch]!;
      votes.set(height, (votes.get(height) ?? 0) + best.sizes[patch * TRIED]!);
    }
    heights[group] = mostVoted(votes) ?? -lowest;
  }
  return heights;
}

/** A group has as many patches as lines; the roundest say enough. */
const MOST_MEASURED = 32;

function measuredPatch(mesh: Mesh, winding: WindingTree, tris: Int32Array): number {
  for (const tri of tris) {
    const outer = tri < 0 ? Number.NaN : outerWinding(mesh, winding, tri);
    if (!Number.isNaN(outer)) return outer;
  }
  return Number.NaN;
}

function mostVoted(votes: ReadonlyMap<number, number>): number | null {
  let best: number | null = null;
  for (const [height, weight] of votes) if (best === null || weight > votes.get(best)!) best = height;
  return best;
}

const TRIED = 3;
/** Off the surface by this share of the radius of the circle in the triangle. */
const OFF = 1e-3;
const CLEAR = 0.1;

/** Per patch the triangles with the largest circle inside, largest first; -1 for none. */
function roundestTris(
  mesh: Mesh,
  patchOfTri: Int32Array,
  patches: number,
  work: Work,
): { readonly tris: Int32Array; readonly sizes: Float64Array } {
  const tris = new Int32Array(patches * TRIED).fill(-1);
  const sizes = new Float64Array(patches * TRIED);
  for (let t = 0; t < numTris(mesh); t++) {
    if ((t & 8191) === 0) work.tick(t / numTris(mesh), DOING);
    const size = frameOf(mesh, t)[6];
    let at = patchOfTri[t]! * TRIED;
    const end = at + TRIED;
    while (at < end && !(size > sizes[at]!)) at++;
    if (at === end) continue;
    for (let k = end - 1; k > at; k--) {
      tris[k] = tris[k - 1]!;
      sizes[k] = sizes[k - 1]!;
    }
    tris[at] = t;
    sizes[at] = size;
  }
  return { tris, sizes };
}

/** Winding number on the outer side of a triangle; NaN unless both sides have whole numbers, one apart. */
function outerWinding(mesh: Mesh, winding: WindingTree, tri: number): number {
  const [x, y, z, nx, ny, nz, radius] = frameOf(mesh, tri);
  for (const off of [OFF * radius, 0.03 * OFF * radius]) {
    const outer = windingFast(winding, x + off * nx, y + off * ny, z + off * nz);
    const inner = windingFast(winding, x - off * nx, y - off * ny, z - off * nz);
    const whole = Math.round(outer);
    if (Math.abs(outer - whole) < CLEAR && Math.abs(inner - whole - 1) < CLEAR) return whole + 0;
  }
  return Number.NaN;
}

type Frame = readonly [number, number, number, number, number, number, number];

/** Middle of the circle in a triangle, its normal, the circle's radius. */
function frameOf({ positions: p, triangles }: Mesh, t: number): Frame {
  const [a, b, c] = [triangles[3 * t]! * 3, triangles[3 * t + 1]! * 3, triangles[3 * t + 2]! * 3];
  const length = (i: number, j: number): number =>
    Math.hypot(p[j]! - p[i]!, p[j + 1]! - p[i + 1]!, p[j + 2]! - p[i + 2]!);
  const [bc, ca, ab] = [length(b, c), length(c, a), length(a, b)];
  const round = bc + ca + ab;
  const middle = (k: number): number => (bc * p[a + k]! + ca * p[b + k]! + ab * p[c + k]!) / round;
  const cross = (k: number, m: number): number =>
    (p[b + k]! - p[a + k]!) * (p[c + m]! - p[a + m]!) - (p[b + m]! - p[a + m]!) * (p[c + k]! - p[a + k]!);
  const [nx, ny, nz] = [cross(1, 2), cross(2, 0), cross(0, 1)];
  const area2 = Math.hypot(nx, ny, nz);
  return [middle(0), middle(1), middle(2), nx / area2, ny / area2, nz / area2, area2 > 0 ? area2 / round : 0];
}
