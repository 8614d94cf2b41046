// The cheapest way along the strip of outside about a seam, and its smoothing.
import type { BowChart } from './bow-chart.ts';

export interface BowPath {
  /** Per column: mm over the plane. */
  readonly liftMm: Float64Array;
  /** Cost in mm of fully visible seam, of the path and of the flat seam, both on the chart. */
  readonly costMm: number;
  readonly flatMm: number;
}

export interface PathOptions {
  /** Height over length along the line at most. */
  readonly mostSlope: number;
  /** Charged for every mm of rise or fall: a seam does not wander for next to nothing. mm of fully visible seam. */
  readonly rise: number;
}

export const PATH_DEFAULTS = { mostSlope: 0.75, rise: 0.12 } as const;

const SMOOTHINGS = 60;
/** What smoothing may cost at a place, as a share of the steps about it. */
const RAISE_SHARE = 0.006;

/** The way from the first column to the last with the least sum of length in space times price, and of rise and fall, rising by at most
 *  `mostSlope`; from row 0 where an end is held, from anywhere where it is free; closed lines close. Then every place goes towards the middle of its
 *  neighbours where that costs next to nothing. Never dearer than the flat seam.
 *  Cost: columns x rows x steps, closed lines three times that. Method: shortest path in layers (Bellman 1957). */
export function bowPath(chart: BowChart, options: PathOptions = PATH_DEFAULTS): BowPath {
  const flat = new Float64Array(chart.places.length);
  const flatMm = costOf(chart, flat);
  const rows = chart.isClosed ? closedPath(chart, options) : cheapestRows(chart, chartColumns(chart), options);
  if (rows === null) return { liftMm: flat, costMm: flatMm, flatMm };
  const liftMm = smoothed(
    chart,
    rows.map((row) => (row - chart.flatRow) * chart.rowMm),
  );
  const costMm = costOf(chart, liftMm);
  return costMm < flatMm ? { liftMm, costMm, flatMm } : { liftMm: flat, costMm: flatMm, flatMm };
}

interface Columns {
  readonly cols: Int32Array;
  /** Row in which the way must begin, end; -1 for any. */
  readonly from: number;
  readonly to: number;
}

function chartColumns(chart: BowChart): Columns {
  return {
    cols: Int32Array.from(chart.places.keys()),
    from: chart.isHeld[0] ? chart.flatRow : -1,
    to: chart.isHeld[1] ? chart.flatRow : -1,
  };
}

/** Twice round finds the row in which a closed way passes its middle column; once more from there and back to it. */
function closedPath(chart: BowChart, options: PathOptions): Float64Array | null {
  const num = chart.places.length;
  const twice = Int32Array.from({ length: 2 * num }, (_, i) => i % num);
  const round = cheapestRows(chart, { cols: twice, from: -1, to: -1 }, options);
  if (round === null) return null;
  const row = round[num]!;
  const once = Int32Array.from({ length: num + 1 }, (_, i) => i % num);
  return cheapestRows(chart, { cols: once, from: row, to: row }, options)?.slice(0, num) ?? null;
}

function cheapestRows(chart: BowChart, { cols, from, to }: Columns, options: PathOptions): Float64Array | null {
  const { numRows, price } = chart;
  const mostSteps = Math.max(1, Math.floor((options.mostSlope * chart.colMm) / chart.rowMm + 1e-9));
  const rise = options.rise * chart.rowMm;
  // a free end that lies off the plane has come from there too
  const offPlane = (row: number): number => rise * Math.abs(row - chart.flatRow);
  const came = new Int8Array(cols.length * numRows);
  let cost = new Float64Array(numRows).fill(Infinity);
  for (let row = 0; row < numRows; row++)
    if ((from < 0 || row === from) && price[cols[0]! * numRows + row]! >= 0) cost[row] = from < 0 ? offPlane(row) : 0;
  for (let i = 1; i < cols.length; i++) {
    const next = new Float64Array(numRows).fill(Infinity);
    for (let row = 0; row < numRows; row++) {
      const at = cols[i]! * numRows + row;
      if (price[at]! < 0) continue;
      for (let step = -mostSteps; step <= mostSteps; step++) {
        const before = row - step;
        if (before < 0 || before >= numRows || cost[before] === Infinity) continue;
        const sum = cost[before]! + rise * Math.abs(step) + stepCost(chart, cols[i - 1]! * numRows + before, at);
        if (sum >= next[row]!) continue;
        next[row] = sum;
        came[i * numRows + row] = step;
      }
    }
    cost = next;
  }
  let row = to;
  if (to < 0)
    for (let r = 0; r < numRows; r++) if (row < 0 || cost[r]! + offPlane(r) < cost[row]! + offPlane(row)) row = r;
  if (cost[row] === Infinity) return null;
  const rows = new Float64Array(cols.length);
  for (let i = cols.length - 1; i >= 0; i--) {
    rows[i] = row;
    row -= came[i * numRows + row]!;
  }
  return rows;
}

function stepCost({ points: p, price }: BowChart, a: number, b: number): number {
  const length = Math.hypot(p[a * 3]! - p[b * 3]!, p[a * 3 + 1]! - p[b * 3 + 1]!, p[a * 3 + 2]! - p[b * 3 + 2]!);
  return (length * (price[a]! + price[b]!)) / 2;
}

/** Where the way may be moved for nothing it is drawn straight: towards the middle of its neighbours, again and again, as long as
 *  the steps about the place cost at most a few thousandths more. */
function smoothed(chart: BowChart, given: Float64Array): Float64Array {
  const lift = given.slice();
  const num = lift.length;
  for (let turn = 0; turn < SMOOTHINGS; turn++) {
    for (let i = 0; i < num; i++) {
      if (!chart.isClosed && (i === 0 || i === num - 1)) continue;
      const a = (i + num - 1) % num;
      const b = (i + 1) % num;
      const middle = (lift[a]! + lift[b]!) / 2;
      if (Math.abs(middle - lift[i]!) < 1e-3) continue;
      const now = aroundCost(chart, lift, i, lift[i]!);
      const then = aroundCost(chart, lift, i, middle);
      if (then <= now * (1 + RAISE_SHARE)) lift[i] = middle;
    }
  }
  return lift;
}

function aroundCost(chart: BowChart, lift: Float64Array, i: number, up: number): number {
  const num = lift.length;
  const a = (i + num - 1) % num;
  const b = (i + 1) % num;
  const here = sampleAt(chart, i, up);
  return between(sampleAt(chart, a, lift[a]!), here) + between(here, sampleAt(chart, b, lift[b]!));
}

/** Cost of a way given by heights, with what lies between rows taken evenly; infinite where it leaves the chart. */
export function costOf(chart: BowChart, lift: Float64Array): number {
  let sum = 0;
  let before: Sample | null = chart.isClosed ? sampleAt(chart, lift.length - 1, lift[lift.length - 1]!) : null;
  for (let i = 0; i < lift.length; i++) {
    const here = sampleAt(chart, i, lift[i]!);
    if (before !== null) sum += between(before, here);
    before = here;
  }
  return sum;
}

interface Sample {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly price: number;
}

/** Off the chart. */
const OFF: Sample = { x: 0, y: 0, z: 0, price: Infinity };

function sampleAt(chart: BowChart, col: number, up: number): Sample {
  const row = up / chart.rowMm + chart.flatRow;
  const low = Math.min(chart.numRows - 1, Math.max(0, Math.floor(row)));
  const high = Math.min(chart.numRows - 1, low + 1);
  const f = row - low;
  const a = col * chart.numRows + low;
  const b = f > 1e-9 ? col * chart.numRows + high : a;
  const { points: p, price } = chart;
  if (price[a]! < 0 || price[b]! < 0) return OFF;
  return {
    x: (1 - f) * p[a * 3]! + f * p[b * 3]!,
    y: (1 - f) * p[a * 3 + 1]! + f * p[b * 3 + 1]!,
    z: (1 - f) * p[a * 3 + 2]! + f * p[b * 3 + 2]!,
    price: (1 - f) * price[a]! + f * price[b]!,
  };
}

function between(a: Sample, b: Sample): number {
  if (a === OFF || b === OFF) return Infinity;
  return (Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z) * (a.price + b.price)) / 2;
}
