// The best uniform grid: what a maker gets who only turns and shifts a lattice of bed-sized cells.
import type { Size } from './fit.ts';
import { type CutDivision, cutByPlanes, type PlaneTree, withoutCrumbs } from './plane-division.ts';
import type { PricedModel } from './priced-model.ts';
import { partAreas, type Samples, samplesOf } from './samples.ts';

/** Eight turns about the vertical within a quarter, and ten shifts a side: 1,000 offsets. */
const TURNS = 8;
const SHIFTS = 10;
const SAMPLE_MM = 9;
/** Sampled counts may be wrong by a sliver: so many of the best are cut exactly. */
const CUT_EXACTLY = 3;

export interface GridDivision {
  readonly turn: number;
  readonly shifts: readonly [number, number, number];
  readonly planes: PlaneTree | null;
  readonly pieces: number;
  readonly costMm: number;
  readonly seamMm: number;
}

export interface BestGrids {
  /** Fewest pieces, then least cost: along the model's own axes, and of all turns. */
  readonly own: GridDivision;
  readonly turned: GridDivision;
  /** Least cost whatever the number of pieces, of all turns. */
  readonly cheapest: GridDivision;
}

interface Candidate {
  readonly turn: number;
  readonly shifts: readonly [number, number, number];
  readonly costMm: number;
  readonly atLeast: number;
}

/** The better of the two that a division is compared with. */
export function betterGrid({ own, turned }: BestGrids): GridDivision {
  return turned.pieces < own.pieces || (turned.pieces === own.pieces && turned.costMm < own.costMm) ? turned : own;
}

/** Costs are of full planes, exact on the triangles; pieces are connected parts of cells, crumbs left out. */
export function bestGrids(model: PricedModel, size: Size): BestGrids {
  const samples = samplesOf(model, SAMPLE_MM);
  const upright = costsAlong(model, [0, 0, 1], size[2]);
  const all: Candidate[] = [];
  for (let turn = 0; turn < TURNS; turn++) {
    const { along, across } = axesOf(turn);
    const costs = [costsAlong(model, along, size[0]), costsAlong(model, across, size[1]), upright] as const;
    const rows = [along, across, [0, 0, 1] as const].map((axis, i) => rowsAlong(samples, axis, size[i]!));
    for (let i = 0; i < SHIFTS; i++)
      for (let j = 0; j < SHIFTS; j++)
        for (let k = 0; k < SHIFTS; k++) {
          const shifts = [i, j, k] as const;
          const atLeast = withoutCrumbs(cellAreas(samples, cellsOf(rows, shifts))).length;
          all.push({ turn, shifts, costMm: costs[0][i]! + costs[1][j]! + costs[2][k]!, atLeast });
        }
  }
  const about = { model, samples, size };
  return {
    own: fewest(
      about,
      all.filter(({ turn }) => turn === 0),
    ),
    turned: fewest(about, all),
    cheapest: exact(
      about,
      all.reduce((best, one) => (one.costMm < best.costMm ? one : best)),
    ),
  };
}

interface About {
  readonly model: PricedModel;
  readonly samples: Samples;
  readonly size: Size;
}

function fewest(about: About, all: readonly Candidate[]): GridDivision {
  const order = [...all].sort((a, b) => a.atLeast - b.atLeast || a.costMm - b.costMm);
  const best: { one: Candidate; pieces: number }[] = [];
  const isBefore = (a: { one: Candidate; pieces: number }, b: { one: Candidate; pieces: number }): number =>
    a.pieces - b.pieces || a.one.costMm - b.one.costMm;
  for (const one of order) {
    const worst = best.at(-1);
    if (best.length === CUT_EXACTLY && worst !== undefined && isBefore({ one, pieces: one.atLeast }, worst) >= 0) {
      if (one.atLeast > worst.pieces) break;
      continue;
    }
    const { along, across } = axesOf(one.turn);
    const rows = [along, across, [0, 0, 1] as const].map((axis, i) => rowsAlong(about.samples, axis, about.size[i]!));
    const cells = cellsOf(rows, one.shifts);
    best.push({ one, pieces: withoutCrumbs(partAreas(about.samples, cells)).length });
    best.sort(isBefore);
    best.splice(CUT_EXACTLY);
  }
  return best
    .map(({ one }) => exact(about, one))
    .reduce((a, b) => (b.pieces < a.pieces || (b.pieces === a.pieces && b.costMm < a.costMm) ? b : a));
}

function exact({ model, size }: About, { turn, shifts }: Candidate): GridDivision {
  const planes = planesOf(model, size, { turn, shifts });
  const cut: CutDivision = cutByPlanes(model, planes, size);
  return { turn, shifts, planes, pieces: cut.pieces.length, costMm: cut.costMm, seamMm: cut.seamMm };
}

type Axis = readonly [number, number, number];

function axesOf(turn: number): { along: Axis; across: Axis } {
  const rad = (turn * Math.PI) / 2 / TURNS;
  return { along: [Math.cos(rad), Math.sin(rad), 0], across: [-Math.sin(rad), Math.cos(rad), 0] };
}

/** For each shift: number of the row in which each sample lies, from 0. */
function rowsAlong({ middles }: Samples, axis: Axis, pitchMm: number): Int32Array[] {
  const steps = Int32Array.from({ length: middles.length / 3 }, (_, s) =>
    Math.floor(
      ((middles[3 * s]! * axis[0] + middles[3 * s + 1]! * axis[1] + middles[3 * s + 2]! * axis[2]) * SHIFTS) / pitchMm,
    ),
  );
  const least = steps.reduce((low, step) => Math.min(low, step), 0) - SHIFTS;
  return Array.from({ length: SHIFTS }, (_, shift) => {
    const first = Math.floor((least - shift) / SHIFTS);
    const rows = steps.map((step) => Math.floor((step - shift) / SHIFTS) - first);
    if (rows.some((row) => row >= ROWS)) throw new Error(`a cell of ${pitchMm} mm is too small for this model`);
    return rows;
  });
}

/** Rows on a side at most: beds of a twentieth of the model. */
const ROWS = 24;

function cellsOf(rows: readonly (readonly Int32Array[])[], shifts: readonly [number, number, number]): Int32Array {
  const [a, b, c] = [rows[0]![shifts[0]]!, rows[1]![shifts[1]]!, rows[2]![shifts[2]]!];
  const cells = new Int32Array(a.length);
  for (let s = 0; s < cells.length; s++) cells[s] = (a[s]! * ROWS + b[s]!) * ROWS + c[s]!;
  return cells;
}

function cellAreas({ areas }: Samples, cells: Int32Array): Map<number, number> {
  const sums = new Float64Array(ROWS ** 3);
  const used: number[] = [];
  for (let s = 0; s < cells.length; s++) {
    if (sums[cells[s]!] === 0) used.push(cells[s]!);
    sums[cells[s]!]! += areas[s]! + Number.MIN_VALUE;
  }
  return new Map(used.map((cell) => [cell, sums[cell]!]));
}

/** Cost of all planes of a shift together, for each shift: every triangle adds the lines that planes draw on it. */
function costsAlong(model: PricedModel, axis: Axis, pitchMm: number): Float64Array {
  const { positions: p, triangles: t } = model.mesh;
  const step = pitchMm / SHIFTS;
  const costs = new Float64Array(SHIFTS);
  const heights = Float64Array.from(
    { length: p.length / 3 },
    (_, v) => p[3 * v]! * axis[0] + p[3 * v + 1]! * axis[1] + p[3 * v + 2]! * axis[2],
  );
  for (let tri = 0; tri < model.price.length; tri++) {
    if (model.price[tri] === 0) continue;
    const verts = [t[3 * tri]!, t[3 * tri + 1]!, t[3 * tri + 2]!];
    verts.sort((a, b) => heights[a]! - heights[b]!);
    const [low, middle, high] = verts.map((v) => heights[v]!) as [number, number, number];
    for (let j = Math.floor(low / step) + 1; j * step <= high; j++) {
      const at = j * step;
      const [from, to] = at <= middle ? [verts[0]!, verts[1]!] : [verts[1]!, verts[2]!];
      const long = (at - low) / (high - low);
      const span = heights[to]! - heights[from]!;
      const short = span > 0 ? (at - heights[from]!) / span : 0;
      let square = 0;
      for (let c = 0; c < 3; c++) {
        const a = p[3 * verts[0]! + c]! + long * (p[3 * verts[2]! + c]! - p[3 * verts[0]! + c]!);
        const b = p[3 * from + c]! + short * (p[3 * to + c]! - p[3 * from + c]!);
        square += (a - b) ** 2;
      }
      costs[((j % SHIFTS) + SHIFTS) % SHIFTS]! += Math.sqrt(square) * model.price[tri]!;
    }
  }
  return costs;
}

/** The lattice as a tree: first by the planes across one axis, then the next. */
function planesOf(
  model: PricedModel,
  size: Size,
  { turn, shifts }: Pick<Candidate, 'turn' | 'shifts'>,
): PlaneTree | null {
  const { along, across } = axesOf(turn);
  let tree: PlaneTree | null = null;
  for (const [i, axis] of ([along, across, [0, 0, 1]] as const).entries()) {
    const offsets = offsetsAlong(model, axis, { pitchMm: size[i]!, shift: shifts[i]! });
    tree = slabs(axis, offsets, tree);
  }
  return tree;
}

function offsetsAlong(
  { mesh: { positions: p } }: PricedModel,
  axis: Axis,
  { pitchMm, shift }: { pitchMm: number; shift: number },
): number[] {
  let [low, high] = [Infinity, -Infinity];
  for (let v = 0; v < p.length; v += 3) {
    const h = p[v]! * axis[0] + p[v + 1]! * axis[1] + p[v + 2]! * axis[2];
    low = Math.min(low, h);
    high = Math.max(high, h);
  }
  const out: number[] = [];
  const start = (shift * pitchMm) / SHIFTS;
  for (let k = Math.ceil((low - start) / pitchMm); start + k * pitchMm < high; k++)
    if (start + k * pitchMm > low) out.push(start + k * pitchMm);
  return out;
}

function slabs(normal: Axis, [offsetMm, ...rest]: readonly number[], inner: PlaneTree | null): PlaneTree | null {
  if (offsetMm === undefined) return inner;
  return { normal, offsetMm, below: inner, above: slabs(normal, rest, inner) };
}
