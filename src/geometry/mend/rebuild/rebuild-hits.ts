// Where on an edge of the grid the winding number falls through 1/2, and the normal of the triangle that makes it fall.
import { closestPoint } from '../../../mesh/closest-point.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import { type Blocks, firstCell, SIDE } from '../../isosurface/isosurface-blocks.ts';
import type { CrossedEdge, SurfaceSource } from '../../isosurface/isosurface-field.ts';
import { type WindingTree, windingFast } from '../../winding/winding-number.ts';
import { BLOCK_SAMPLES, type GridCrossings } from './rebuild-crossings.ts';

export interface HitQuestion {
  readonly mesh: Mesh;
  readonly blocks: Blocks;
  readonly crossings: GridCrossings;
  readonly winding: WindingTree;
}

/** Hits are taken from the triangles themselves, so planes and sharp edges come back exactly; only across a gap, where no triangle
 *  is, the winding number is searched along the edge and its slope taken. Cost: a short search a hit; a dozen winding numbers in gaps. */
export function windingSource(question: HitQuestion): SurfaceSource {
  const { winding, blocks } = question;
  return {
    hitOn: (edge, hit) => {
      placeHit(question, edge, hit);
    },
    missAt: (x, y, z) => closestPoint(winding.tree, [x, y, z], blocks.grid.cellMm)?.distanceMm ?? blocks.grid.cellMm,
  };
}

function placeHit(question: HitQuestion, edge: CrossedEdge, hit: Float64Array): void {
  const { blocks, crossings, mesh } = question;
  const { originMm, cellMm } = blocks.grid;
  hit[0] = originMm[0] + edge.i * cellMm;
  hit[1] = originMm[1] + edge.j * cellMm;
  hit[2] = originMm[2] + edge.k * cellMm;
  const crossing = fallingCrossing(question, edge);
  if (crossing >= 0) {
    edge.t = crossings.t[crossing]!;
    hit[edge.axis]! += edge.t * cellMm;
    const tri = crossings.tri[crossing]!;
    writeNormal(mesh, tri < 0 ? ~tri : tri, hit);
    return;
  }
  searchGap(question, edge, hit);
}

/** The first crossing of the edge at which the number of its lower end, raised and lowered by each crossing, changes side. */
function fallingCrossing({ blocks, crossings }: HitQuestion, edge: CrossedEdge): number {
  const block = blocks.place[edge.block]!;
  const [i0, j0, k0] = firstCell(blocks.grid, block);
  const code = edge.axis * BLOCK_SAMPLES + edge.i - i0 + SIDE * (edge.j - j0 + SIDE * (edge.k - k0));
  let n = firstOf(crossings, block, code);
  let number = 0.5 - edge.low;
  const inside = edge.low < 0;
  for (; n < crossings.start[block + 1]! && crossings.edge[n] === code; n++) {
    number += crossings.tri[n]! >= 0 ? -1 : 1;
    if (number > 0.5 !== inside) return n;
  }
  return -1;
}

function firstOf({ start, edge }: GridCrossings, block: number, code: number): number {
  let low = start[block]!;
  let high = start[block + 1]!;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (edge[middle]! < code) low = middle + 1;
    else high = middle;
  }
  return low;
}

function writeNormal({ positions: p, triangles }: Mesh, tri: number, hit: Float64Array): void {
  const a = triangles[tri * 3]! * 3;
  const b = triangles[tri * 3 + 1]! * 3;
  const c = triangles[tri * 3 + 2]! * 3;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  writeUnit(hit, uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
}

function writeUnit(hit: Float64Array, x: number, y: number, z: number): void {
  const length = Math.sqrt(x * x + y * y + z * z) || 1;
  hit[3] = x / length;
  hit[4] = y / length;
  hit[5] = z / length;
}

const ROUNDS = 8;

/** Halves the edge until the change of side is found; the slope of the winding number a little to both sides is the normal. */
function searchGap({ blocks, winding }: HitQuestion, edge: CrossedEdge, hit: Float64Array): void {
  const { cellMm } = blocks.grid;
  const start = hit[edge.axis]!;
  const inside = edge.low < 0;
  let [from, to] = [0, 1];
  for (let round = 0; round < ROUNDS; round++) {
    const middle = (from + to) / 2;
    hit[edge.axis] = start + middle * cellMm;
    if (windingFast(winding, hit[0]!, hit[1]!, hit[2]!) > 0.5 === inside) from = middle;
    else to = middle;
  }
  edge.t = (from + to) / 2;
  hit[edge.axis] = start + edge.t * cellMm;
  const [x, y, z] = [hit[0]!, hit[1]!, hit[2]!];
  const e = 0.2 * cellMm;
  const slope = (dx: number, dy: number, dz: number): number =>
    windingFast(winding, x - dx, y - dy, z - dz) - windingFast(winding, x + dx, y + dy, z + dz);
  writeUnit(hit, slope(e, 0, 0), slope(0, e, 0), slope(0, 0, e));
}
