// The strip of the outside about a seam, spread out flat: where it passes at each height over the plane, and what a seam costs there.
import type { Plane } from '../../../geometry/plane.ts';
import { type PlaneCrossing, planeCrossing, vertHeights } from '../../../geometry/plane-crossing.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import { nextHalfEdge, previousHalfEdge } from '../../../mesh/half-edges.ts';
import { meshOf, NONE } from '../../../mesh/mesh.ts';
import { halfEdgeTwins } from '../../../mesh/topology.ts';
import { type LinePlace, type OuterLine, placesOn } from './bow-lines.ts';

/** Columns along the line, rows of height; row `flatRow` lies in the plane. Entry (column, row) is column * numRows + row. */
export interface BowChart {
  readonly places: readonly LinePlace[];
  readonly isClosed: boolean;
  readonly isHeld: readonly [boolean, boolean];
  readonly numRows: number;
  readonly flatRow: number;
  readonly rowMm: number;
  /** Along the line from column to column. */
  readonly colMm: number;
  /** Entries x 3: the point of the outside; NaN where there is none. */
  readonly points: Float64Array;
  /** Per entry: price of a millimetre there; -1 where the outside does not reach so far, or not in one height after another. */
  readonly price: Float64Array;
}

/** How far a seam may go above and below its plane; both at least 0. */
export interface BowReach {
  readonly upMm: number;
  readonly downMm: number;
}

export interface ChartOptions {
  readonly reach: BowReach;
  readonly rowMm: number;
  readonly colMm: number;
}

export const CHART_DEFAULTS = { rowMm: 0.5, colMm: 2 } as const;

/** What lies within reach of a plane, as a part of its own, and the way from triangle to triangle on it. */
export interface OutsideStrip {
  readonly part: MeshPart;
  readonly crossing: PlaneCrossing;
  readonly twins: Int32Array;
  /** Per triangle of the part: price, or -1 off the outside. */
  readonly price: Float64Array;
}

/** The triangles of a part that come within mostMm of the plane: all that a bow can touch, so that its cost is measured on them alone.
 *  Cost: O(n), adjacency for the triangles within reach alone. */
export function outsideStrip(
  whole: MeshPart,
  plane: Plane,
  priced: { readonly isOuter: Uint8Array; readonly price: Float32Array },
  mostMm: number,
): OutsideStrip {
  const part = within(whole, plane, mostMm);
  const price = Float64Array.from(part.sourceTri, (source) =>
    source > NONE && priced.isOuter[source] === 1 ? priced.price[source]! : -1,
  );
  return { part, crossing: planeCrossing(part.mesh, plane), twins: halfEdgeTwins(part.mesh), price };
}

function within({ mesh, sourceTri }: MeshPart, plane: Plane, mostMm: number): MeshPart {
  const { triangles, positions } = mesh;
  const heights = vertHeights(positions, plane.normal, plane.offsetMm);
  const handleOf = new Int32Array(heights.length).fill(NONE);
  const tris: number[] = [];
  const verts: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const a = heights[triangles[t]!]!;
    const b = heights[triangles[t + 1]!]!;
    const c = heights[triangles[t + 2]!]!;
    if (Math.min(a, b, c) > mostMm || Math.max(a, b, c) < -mostMm) continue;
    tris.push(t / 3);
    for (let k = 0; k < 3; k++) {
      const vert = triangles[t + k]!;
      if (handleOf[vert] === NONE) handleOf[vert] = verts.push(vert) - 1;
    }
  }
  const near = new Float64Array(verts.length * 3);
  verts.forEach((vert, i) => {
    for (let k = 0; k < 3; k++) near[i * 3 + k] = positions[vert * 3 + k]!;
  });
  const corners = new Uint32Array(tris.length * 3);
  tris.forEach((tri, i) => {
    for (let k = 0; k < 3; k++) corners[i * 3 + k] = handleOf[triangles[tri * 3 + k]!]!;
  });
  return { mesh: meshOf(near, corners), sourceTri: Int32Array.from(tris, (tri) => sourceTri[tri]!) };
}

/** From every place of the line the outside is followed up and down in the plane through it that holds the normal: straight across
 *  the seam. It ends at an edge of the outside, at a face made before, where it turns back, or strays too far to the side.
 *  Cost: places x triangles crossed. */
export function bowChart(strip: OutsideStrip, line: OuterLine, options: ChartOptions): BowChart {
  const { reach, rowMm, colMm } = options;
  const places = placesOn(line, strip.crossing, colMm);
  const flatRow = Math.floor(reach.downMm / rowMm);
  const rowsUp = Math.floor(reach.upMm / rowMm);
  const numRows = flatRow + 1 + rowsUp;
  const points = new Float64Array(places.length * numRows * 3).fill(Number.NaN);
  const price = new Float64Array(places.length * numRows).fill(-1);
  const clear = new Float64Array(places.length * 2).fill(Infinity);
  places.forEach((place, col) => {
    const entry = col * numRows + flatRow;
    const tri = strip.crossing.cutTris[place.segment]!;
    points.set(place.at, entry * 3);
    // a bridge of inside between two stretches of outside costs what its neighbours do
    price[entry] = strip.price[tri]! >= 0 ? strip.price[tri]! : (price[entry - numRows] ?? 1);
    if (strip.price[tri]! < 0) return;
    clear[col * 2] = walk(strip, { place, tri, up: 1 }, { entry, rows: rowsUp, rowMm, points, price });
    clear[col * 2 + 1] = walk(strip, { place, tri, up: -1 }, { entry, rows: flatRow, rowMm, points, price });
  });
  keepClear(price, { clear, flatRow, numRows, isClosed: line.isClosed });
  evenAlong(price, places.length, numRows, line.isClosed);
  const steps = line.isClosed ? places.length : places.length - 1;
  return {
    places,
    isClosed: line.isClosed,
    isHeld: line.isHeld,
    numRows,
    flatRow,
    rowMm,
    colMm: line.lengthMm / steps,
    points,
    price,
  };
}

interface ChartColumn {
  readonly entry: number;
  readonly rows: number;
  readonly rowMm: number;
  readonly points: Float64Array;
  readonly price: Float64Array;
}

/** Turning back by less is roughness of the surface. */
const TURN_BACK_MM = 0.25;
/** The outside may stray so many times its height to the side: beyond it lies too flat to follow. */
const STRAY = 3;
const STRAY_MM = 6;
const MOST_STEPS = 4000;
/** What a millimetre counts at most where nothing is asked: dearer places are kept clear. */
export const DEAREST = 1;
/** Rows that stay free before an area kept clear. */
const CLEAR_ROWS = 2;

/** Fills a column; returns the row up to which it stays clear of an area that has to be, or infinity. */
function walk(
  strip: OutsideStrip,
  from: { readonly place: LinePlace; readonly tri: number; readonly up: 1 | -1 },
  into: ChartColumn,
): number {
  const { twins } = strip;
  const { heights } = strip.crossing;
  const { positions: p, triangles: corners } = strip.part.mesh;
  const { at, along } = from.place;
  const beside = (vert: number): number =>
    along[0] * (p[vert * 3]! - at[0]) + along[1] * (p[vert * 3 + 1]! - at[1]) + along[2] * (p[vert * 3 + 2]! - at[2]);
  const heightAt = (h: number): number => {
    const [a, b] = [corners[h]!, corners[nextHalfEdge(h)]!];
    const [ga, gb] = [beside(a), beside(b)];
    const f = ga / (ga - gb);
    return from.up * ((1 - f) * heights[a]! + f * heights[b]!);
  };
  let h = NONE;
  for (let c = 0; c < 3; c++) {
    const edge = from.tri * 3 + c;
    if (beside(corners[edge]!) < 0 === beside(corners[nextHalfEdge(edge)]!) < 0) continue;
    if (h === NONE || heightAt(edge) > heightAt(h)) h = edge;
  }
  if (h === NONE) return Infinity;
  let tri = from.tri;
  let last = { height: 0, x: at[0], y: at[1], z: at[2] };
  let reached = 0;
  let row = 1;
  const highest = into.rows * into.rowMm;
  for (let step = 0; step < MOST_STEPS; step++) {
    const [a, b] = [corners[h]!, corners[nextHalfEdge(h)]!];
    const [ga, gb] = [beside(a), beside(b)];
    const f = ga / (ga - gb);
    const here = {
      height: from.up * ((1 - f) * heights[a]! + f * heights[b]!),
      x: (1 - f) * p[a * 3]! + f * p[b * 3]!,
      y: (1 - f) * p[a * 3 + 1]! + f * p[b * 3 + 1]!,
      z: (1 - f) * p[a * 3 + 2]! + f * p[b * 3 + 2]!,
    };
    for (; row <= into.rows && row * into.rowMm <= here.height; row++) {
      const g = here.height > last.height ? (row * into.rowMm - last.height) / (here.height - last.height) : 1;
      const entry = into.entry + from.up * row;
      into.points[entry * 3] = last.x + g * (here.x - last.x);
      into.points[entry * 3 + 1] = last.y + g * (here.y - last.y);
      into.points[entry * 3 + 2] = last.z + g * (here.z - last.z);
      into.price[entry] = strip.price[tri]!;
    }
    reached = Math.max(reached, here.height);
    if (reached >= highest || here.height < reached - TURN_BACK_MM) return Infinity;
    const off = Math.hypot(here.x - at[0], here.y - at[1], here.z - at[2]);
    if (off > STRAY * reached + STRAY_MM) return Infinity;
    const across = twins[h]!;
    if (across === NONE) return Infinity;
    tri = Math.trunc(across / 3);
    if (strip.price[tri]! < 0) return Infinity;
    if (strip.price[tri]! > DEAREST) return Math.max(0, row - 1 - CLEAR_ROWS);
    const isFarBelow = beside(corners[previousHalfEdge(across)]!) < 0;
    const isStartBelow = beside(corners[nextHalfEdge(across)]!) < 0;
    h = isFarBelow === isStartBelow ? previousHalfEdge(across) : nextHalfEdge(across);
    last = here;
  }
  return Infinity;
}

/** Entries beyond what stays clear, in a column or those beside it, are none. */
function keepClear(
  price: Float64Array,
  by: { readonly clear: Float64Array; readonly flatRow: number; readonly numRows: number; readonly isClosed: boolean },
): void {
  const { clear, flatRow, numRows } = by;
  const numCols = clear.length / 2;
  for (let col = 0; col < numCols; col++) {
    for (const side of [0, 1] as const) {
      let rows = clear[col * 2 + side]!;
      for (const other of [col - 1, col + 1])
        if (by.isClosed || (other >= 0 && other < numCols))
          rows = Math.min(rows, clear[((other + numCols) % numCols) * 2 + side]!);
      const most = side === 0 ? numRows - 1 - flatRow : flatRow;
      for (let row = rows + 1; row <= most; row++) price[col * numRows + flatRow + (side === 0 ? row : -row)] = -1;
    }
  }
}

/** Prices are known triangle by triangle: evened out over neighbouring columns, so that a path does not follow their steps. */
function evenAlong(price: Float64Array, numCols: number, numRows: number, isClosed: boolean): void {
  const before = price.slice();
  for (let col = 0; col < numCols; col++) {
    for (let row = 0; row < numRows; row++) {
      const at = col * numRows + row;
      if (before[at]! < 0) continue;
      let sum = 2 * before[at]!;
      let weights = 2;
      for (const other of [col - 1, col + 1]) {
        if (!isClosed && (other < 0 || other >= numCols)) continue;
        const beside = before[((other + numCols) % numCols) * numRows + row]!;
        if (beside < 0) continue;
        sum += beside;
        weights++;
      }
      price[at] = sum / weights;
    }
  }
}
