// Where the lines of a grid pierce a surface: what tells, for every edge of the grid, which triangles cross it and in what order.
import { orient2d } from 'robust-predicates';
import type { Work } from '../../../base/work.ts';
import { type Mesh, numTris } from '../../../mesh/mesh.ts';
import { type Grid, SIDE } from '../../isosurface/isosurface-blocks.ts';

/** Edges that a block owns: those whose lower end is one of its 8^3 lowest samples. Edge = axis * 512 + i + 8 * (j + 8 * k). */
export const BLOCK_SAMPLES = SIDE ** 3;
export const BLOCK_EDGES = 3 * BLOCK_SAMPLES;

export interface GridCrossings {
  /** numBlocks + 1: first crossing of each block of the grid. Crossings are sorted by edge, then along it. */
  readonly start: Uint32Array;
  readonly edge: Uint16Array;
  /** Place along the edge, 0 to 1. */
  readonly t: Float32Array;
  /** The triangle where its front looks along the axis (a solid ends), its complement where it looks back (a solid begins). */
  readonly tri: Int32Array;
}

/** Every crossing of grid edges with triangles. A line through an edge or vertex of the mesh counts as lying a trifle beside it, by the
 *  same rule for all triangles, so that a closed surface is pierced as often inward as outward. Cost: O(numTris + crossings), some
 *  1.5 * area / cell^2 crossings of 11 bytes (30 while sorting). Method: exact signs (Shewchuk 1997), half-open rule. */
export function gridCrossings(mesh: Mesh, grid: Grid, work: Work): GridCrossings {
  const list = new CrossingList();
  for (let axis = 0; axis < 3; axis++) {
    for (let tri = 0; tri < numTris(mesh); tri++) {
      if ((tri & 4095) === 0) work.tick(((axis + tri / numTris(mesh)) / 3) * 0.8, 'piercing the surface');
      pierce(mesh, grid, { tri, axis }, list);
    }
  }
  work.tick(0.8, 'sorting crossings');
  const [nx, ny, nz] = grid.numBlocks;
  return inOrder(list, nx * ny * nz);
}

class CrossingList {
  num = 0;
  block = new Uint32Array(4096);
  edge = new Uint16Array(4096);
  t = new Float32Array(4096);
  tri = new Int32Array(4096);

  grow(): void {
    const larger = this.num * 2;
    const [block, edge, t, tri] = [this.block, this.edge, this.t, this.tri];
    this.block = new Uint32Array(larger);
    this.edge = new Uint16Array(larger);
    this.t = new Float32Array(larger);
    this.tri = new Int32Array(larger);
    this.block.set(block);
    this.edge.set(edge);
    this.t.set(t);
    this.tri.set(tri);
  }
}

/** Along `axis`, the other two coordinates u and v in cyclic order. */
function pierce(mesh: Mesh, grid: Grid, at: { tri: number; axis: number }, list: CrossingList): void {
  const { positions: p, triangles } = mesh;
  const { tri, axis } = at;
  const u = (axis + 1) % 3;
  const v = (axis + 2) % 3;
  const a = triangles[tri * 3]! * 3;
  let b = triangles[tri * 3 + 1]! * 3;
  let c = triangles[tri * 3 + 2]! * 3;
  const cell = grid.cellMm;
  const ou = grid.originMm[u]!;
  const ov = grid.originMm[v]!;
  let au = p[a + u]!;
  let av = p[a + v]!;
  const fromU = Math.ceil((Math.min(au, p[b + u]!, p[c + u]!) - ou) / cell - 1e-6);
  const toU = Math.floor((Math.max(au, p[b + u]!, p[c + u]!) - ou) / cell + 1e-6);
  if (fromU > toU) return;
  const fromV = Math.ceil((Math.min(av, p[b + v]!, p[c + v]!) - ov) / cell - 1e-6);
  const toV = Math.floor((Math.max(av, p[b + v]!, p[c + v]!) - ov) / cell + 1e-6);
  if (fromV > toV) return;
  au = p[a + u]!;
  av = p[a + v]!;
  const turn = -orient2d(au, av, p[b + u]!, p[b + v]!, p[c + u]!, p[c + v]!);
  if (turn === 0) return;
  if (turn < 0) {
    const kept = b;
    b = c;
    c = kept;
  }
  const bu = p[b + u]!;
  const bv = p[b + v]!;
  const cu = p[c + u]!;
  const cv = p[c + v]!;
  for (let jv = fromV; jv <= toV; jv++) {
    const y = ov + jv * cell;
    for (let ju = fromU; ju <= toU; ju++) {
      const x = ou + ju * cell;
      const overC = -orient2d(au, av, bu, bv, x, y);
      if (overC < 0 || (overC === 0 && !isOwned(axis, bu - au, bv - av))) continue;
      const overA = -orient2d(bu, bv, cu, cv, x, y);
      if (overA < 0 || (overA === 0 && !isOwned(axis, cu - bu, cv - bv))) continue;
      const overB = -orient2d(cu, cv, au, av, x, y);
      if (overB < 0 || (overB === 0 && !isOwned(axis, au - cu, av - cv))) continue;
      const sum = overA + overB + overC;
      const base = p[a + axis]!;
      const along = base + (overB * (p[b + axis]! - base) + overC * (p[c + axis]! - base)) / sum;
      store(list, grid, { axis, ju, jv, along: (along - grid.originMm[axis]!) / cell, tri: turn > 0 ? tri : ~tri });
    }
  }
}

/** A line through a side counts as inside when, moved a trifle toward +x, far less toward +y and less still toward +z, it is. */
function isOwned(axis: number, du: number, dv: number): boolean {
  if (axis === 1) return du > 0 || (du === 0 && dv < 0);
  return dv < 0 || (dv === 0 && du > 0);
}

function store(
  list: CrossingList,
  grid: Grid,
  crossing: { axis: number; ju: number; jv: number; along: number; tri: number },
): void {
  const { axis, ju, jv, along } = crossing;
  // A sample in a face counts as moved a trifle up, too.
  const lower = Math.ceil(along) - 1;
  const i = axis === 0 ? lower : axis === 1 ? jv : ju;
  const j = axis === 0 ? ju : axis === 1 ? lower : jv;
  const k = axis === 0 ? jv : axis === 1 ? ju : lower;
  const [nx, ny] = grid.numBlocks;
  if (list.num === list.block.length) list.grow();
  const n = list.num++;
  list.block[n] = (i >> 3) + nx * ((j >> 3) + ny * (k >> 3));
  list.edge[n] = axis * BLOCK_SAMPLES + (i & 7) + SIDE * ((j & 7) + SIDE * (k & 7));
  list.t[n] = along - lower;
  list.tri[n] = crossing.tri;
}

/** Two stable counting sorts, by edge and then by block; the few crossings of one edge by place along it. */
function inOrder(list: CrossingList, numBlocks: number): GridCrossings {
  const { num } = list;
  const byEdge = new Uint32Array(num);
  const edgeStart = new Uint32Array(BLOCK_EDGES + 1);
  for (let n = 0; n < num; n++) edgeStart[list.edge[n]! + 1]!++;
  for (let e = 0; e < BLOCK_EDGES; e++) edgeStart[e + 1]! += edgeStart[e]!;
  for (let n = 0; n < num; n++) byEdge[edgeStart[list.edge[n]!]!++] = n;
  const start = new Uint32Array(numBlocks + 1);
  for (let n = 0; n < num; n++) start[list.block[n]! + 1]!++;
  for (let b = 0; b < numBlocks; b++) start[b + 1]! += start[b]!;
  const fill = start.slice(0, numBlocks);
  const out = { start, edge: new Uint16Array(num), t: new Float32Array(num), tri: new Int32Array(num) };
  for (let n = 0; n < num; n++) {
    const from = byEdge[n]!;
    const block = list.block[from]!;
    let at = fill[block]!++;
    const edge = list.edge[from]!;
    const t = list.t[from]!;
    while (at > start[block]! && out.edge[at - 1] === edge && out.t[at - 1]! > t) {
      out.edge[at] = out.edge[at - 1]!;
      out.t[at] = out.t[at - 1]!;
      out.tri[at] = out.tri[at - 1]!;
      at--;
    }
    out.edge[at] = edge;
    out.t[at] = t;
    out.tri[at] = list.tri[from]!;
  }
  return out;
}
