// A division written as a tree of planes, cut exactly on the triangles: its seams, its connected pieces, what each seam costs.
import { fitsBed, type Size } from './fit.ts';
import type { PricedModel } from './priced-model.ts';

/** Points with normal . p = offsetMm are on the plane; "above" is where the normal points. null: nothing is cut any more. */
export interface PlaneTree {
  readonly normal: readonly [number, number, number];
  readonly offsetMm: number;
  readonly below: PlaneTree | null;
  readonly above: PlaneTree | null;
}

export interface CutPiece {
  /** xyz interleaved, corners of its fragments. */
  readonly points: Float64Array;
  /** Of the model's own surface. */
  readonly areaMm2: number;
  readonly cell: number;
  readonly fits: boolean;
}

export interface CutDivision {
  /** Connected, crumbs left out. */
  readonly pieces: readonly CutPiece[];
  readonly crumbs: number;
  /** Of the outside. */
  readonly seamMm: number;
  readonly costMm: number;
  /** Cut lines on triangles: from, to (6 numbers each), and the triangle. */
  readonly lines: Float64Array;
  readonly lineTris: Int32Array;
  /** A triangle: the piece its first fragment belongs to, -1 for a crumb. */
  readonly pieceOfTri: Int32Array;
}

/** Share of the mean piece under which a piece is a crumb. */
export const CRUMB = 0.01;

interface Fragment {
  readonly tri: number;
  readonly cell: number;
  readonly area: number;
  readonly corners: number[];
}

/** Exact on the triangles. Pieces are connected over the surface, and through the solid by rays inwards, which cannot leave a cell and
 *  come back: cells are convex. Linear in triangles times planes. */
export function cutByPlanes(model: PricedModel, division: PlaneTree | null, size: Size): CutDivision {
  const cutter = new Cutter(model, division);
  cutter.cutAll();
  const parts = cutter.components();
  return finished(model, cutter, { parts, size });
}

class Cutter {
  readonly fragments: Fragment[] = [];
  /** First fragment of each triangle; they follow one another. */
  readonly first: Int32Array;
  readonly lines: number[] = [];
  readonly lineTris: number[] = [];
  /** Normals of the planes that bound each cell. */
  readonly bounds: (readonly [number, number, number])[][] = [];
  readonly cells = new Map<string, number>();
  readonly model: PricedModel;
  readonly division: PlaneTree | null;

  constructor(model: PricedModel, division: PlaneTree | null) {
    this.model = model;
    this.division = division;
    this.first = new Int32Array(model.areas.length + 1);
    this.nameCells(division, '', []);
  }

  nameCells(node: PlaneTree | null, path: string, bounds: (readonly [number, number, number])[]): void {
    if (node === null) {
      this.cells.set(path, this.bounds.length);
      this.bounds.push(bounds);
      return;
    }
    this.nameCells(node.below, `${path}-`, [...bounds, node.normal]);
    this.nameCells(node.above, `${path}+`, [...bounds, node.normal]);
  }

  cutAll(): void {
    const { positions: p, triangles: t } = this.model.mesh;
    for (let tri = 0; tri < this.first.length - 1; tri++) {
      this.first[tri] = this.fragments.length;
      const corners: number[] = [];
      for (let k = 0; k < 3; k++) for (let c = 0; c < 3; c++) corners.push(p[3 * t[3 * tri + k]! + c]!);
      this.cutOne(tri, corners, { node: this.division, path: '' });
    }
    this.first[this.first.length - 1] = this.fragments.length;
  }

  cutOne(tri: number, corners: number[], { node, path }: { node: PlaneTree | null; path: string }): void {
    if (node === null) {
      this.fragments.push({ tri, cell: this.cells.get(path)!, area: polygonArea(corners), corners });
      return;
    }
    const heights = heightsOver(corners, node);
    const numAbove = heights.filter((h) => h >= 0).length;
    if (numAbove === 0 || numAbove === heights.length) {
      const [side, sign] = numAbove === 0 ? [node.below, '-'] : [node.above, '+'];
      this.cutOne(tri, corners, { node: side, path: path + sign });
      return;
    }
    const above: number[] = [];
    const below: number[] = [];
    const line: number[] = [];
    const count = heights.length;
    for (let i = 0; i < count; i++) {
      const j = (i + 1) % count;
      const side = heights[i]! >= 0 ? above : below;
      for (let c = 0; c < 3; c++) side.push(corners[3 * i + c]!);
      if (heights[i]! >= 0 === heights[j]! >= 0) continue;
      const share = heights[i]! / (heights[i]! - heights[j]!);
      for (let c = 0; c < 3; c++) {
        const x = corners[3 * i + c]! + share * (corners[3 * j + c]! - corners[3 * i + c]!);
        above.push(x);
        below.push(x);
        line.push(x);
      }
    }
    this.lines.push(...line.slice(0, 6));
    this.lineTris.push(tri);
    this.cutOne(tri, below, { node: node.below, path: `${path}-` });
    this.cutOne(tri, above, { node: node.above, path: `${path}+` });
  }

  fragmentIn(tri: number, cell: number): number {
    for (let f = this.first[tri]!; f < this.first[tri + 1]!; f++) if (this.fragments[f]!.cell === cell) return f;
    return -1;
  }

  cellAt(point: readonly number[]): number {
    let node = this.division;
    let path = '';
    while (node !== null) {
      const isAbove = heightsOver(point, node)[0]! >= 0;
      path += isAbove ? '+' : '-';
      node = isAbove ? node.above : node.below;
    }
    return this.cells.get(path)!;
  }

  components(): Int32Array {
    const { model, fragments } = this;
    const parent = Int32Array.from(fragments, (_, i) => i);
    const rootOf = (i: number): number => {
      let at = i;
      while (parent[at] !== at) {
        parent[at] = parent[parent[at]!]!;
        at = parent[at]!;
      }
      return at;
    };
    const join = (a: number, b: number): void => {
      if (a >= 0 && b >= 0) parent[rootOf(a)] = rootOf(b);
    };
    const { positions: p, triangles: t } = model.mesh;
    for (let tri = 0; tri < this.first.length - 1; tri++) {
      for (let k = 0; k < 3; k++) {
        const other = model.across[3 * tri + k]!;
        if (other <= tri) continue;
        const [a, b] = [3 * t[3 * tri + k]!, 3 * t[3 * tri + ((k + 1) % 3)]!];
        const edge = [p[a]!, p[a + 1]!, p[a + 2]!, p[b]!, p[b + 1]!, p[b + 2]!];
        for (const cell of this.cellsAlong(edge, this.division, ''))
          join(this.fragmentIn(tri, cell), this.fragmentIn(other, cell));
      }
    }
    for (const [f, { tri, cell, corners, area }] of fragments.entries()) {
      if (area < 1e-6) continue;
      const middle = [0, 1, 2].map((c) => mean(corners, c));
      for (const lean of LEANS) {
        const n = [0, 1, 2].map((c) => -model.normals[3 * tri + c]! + lean[c]!);
        const length = Math.hypot(n[0]!, n[1]!, n[2]!);
        const way = n.map((v) => v / length);
        const from = middle.map((v, c) => v + 0.01 * way[c]!);
        const hit = model.tree.first(from, way);
        if (hit === null) continue;
        const facing = way.reduce((sum, v, c) => sum + v * model.normals[3 * hit.tri + c]!, 0);
        if (facing <= 0) continue;
        const at = from.map((v, c) => v + hit.distanceMm * way[c]!);
        if (this.cellAt(at) === cell) join(f, this.fragmentIn(hit.tri, cell));
      }
    }
    return Int32Array.from(fragments, (_, i) => rootOf(i));
  }

  /** Cells in which a stretch of the edge lies. */
  cellsAlong(edge: readonly number[], node: PlaneTree | null, path: string): number[] {
    if (node === null) return [this.cells.get(path)!];
    const [h0, h1] = heightsOver(edge, node) as [number, number];
    if (h0 >= 0 && h1 >= 0) return this.cellsAlong(edge, node.above, `${path}+`);
    if (h0 < 0 && h1 < 0) return this.cellsAlong(edge, node.below, `${path}-`);
    const share = h0 / (h0 - h1);
    const middle = [0, 1, 2].map((c) => edge[c]! + share * (edge[3 + c]! - edge[c]!));
    const start = [...edge.slice(0, 3), ...middle];
    const end = [...middle, ...edge.slice(3)];
    const [above, below] = h0 >= 0 ? [start, end] : [end, start];
    return [...this.cellsAlong(below, node.below, `${path}-`), ...this.cellsAlong(above, node.above, `${path}+`)];
  }
}

const LEANS = [
  [0, 0, 0],
  [0.5, 0.3, -0.4],
] as const;

function finished(model: PricedModel, cutter: Cutter, { parts, size }: { parts: Int32Array; size: Size }): CutDivision {
  const { fragments } = cutter;
  const areas = new Map<number, number>();
  for (const [f, { area }] of fragments.entries()) areas.set(parts[f]!, (areas.get(parts[f]!) ?? 0) + area);
  const kept = withoutCrumbs(areas);
  const numbers = new Map(kept.map((root, i) => [root, i]));
  const points = kept.map((): number[] => []);
  const cells = kept.map(() => 0);
  const pieceOfTri = new Int32Array(model.areas.length).fill(-1);
  for (const [f, { tri, cell, corners }] of fragments.entries()) {
    const piece = numbers.get(parts[f]!);
    if (piece === undefined) continue;
    for (const x of corners) points[piece]!.push(x);
    cells[piece] = cell;
    if (cutter.first[tri] === f) pieceOfTri[tri] = piece;
  }
  let [seamMm, costMm] = [0, 0];
  const { lines, lineTris } = cutter;
  for (const [i, tri] of lineTris.entries()) {
    if (model.exposure.outside[tri] === 0) continue;
    const [a, b, c] = [0, 1, 2].map((k) => lines[6 * i + k]! - lines[6 * i + 3 + k]!) as [number, number, number];
    const length = Math.hypot(a, b, c);
    seamMm += length;
    costMm += length * model.price[tri]!;
  }
  const pieces = points.map((own, i): CutPiece => {
    const all = Float64Array.from(own);
    const cell = cells[i]!;
    return { points: all, areaMm2: areas.get(kept[i]!)!, cell, fits: fitsBed(all, cutter.bounds[cell]!, size) };
  });
  return {
    pieces,
    crumbs: areas.size - kept.length,
    seamMm,
    costMm,
    lines: Float64Array.from(lines),
    lineTris: Int32Array.from(lineTris),
    pieceOfTri,
  };
}

/** Largest first, those under a hundredth of the mean of the kept ones left out. */
export function withoutCrumbs(areas: ReadonlyMap<number, number>): number[] {
  const order = [...areas.keys()].sort((a, b) => areas.get(b)! - areas.get(a)!);
  let sum = 0;
  let count = 0;
  for (const key of order) {
    const area = areas.get(key)!;
    if (count > 0 && area < (CRUMB * sum) / count) break;
    sum += area;
    count++;
  }
  return order.slice(0, count);
}

function heightsOver(corners: readonly number[], { normal, offsetMm }: PlaneTree): number[] {
  const out: number[] = [];
  for (let i = 0; i < corners.length; i += 3)
    out.push(corners[i]! * normal[0] + corners[i + 1]! * normal[1] + corners[i + 2]! * normal[2] - offsetMm);
  return out;
}

function polygonArea(c: readonly number[]): number {
  let [x, y, z] = [0, 0, 0];
  for (let i = 3; i + 3 < c.length; i += 3) {
    const [ux, uy, uz] = [c[i]! - c[0]!, c[i + 1]! - c[1]!, c[i + 2]! - c[2]!];
    const [vx, vy, vz] = [c[i + 3]! - c[0]!, c[i + 4]! - c[1]!, c[i + 5]! - c[2]!];
    x += uy * vz - uz * vy;
    y += uz * vx - ux * vz;
    z += ux * vy - uy * vx;
  }
  return Math.hypot(x, y, z) / 2;
}

function mean(corners: readonly number[], c: number): number {
  let sum = 0;
  for (let i = c; i < corners.length; i += 3) sum += corners[i]!;
  return (3 * sum) / corners.length;
}
