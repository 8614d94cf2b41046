// The most that a linear measure can reach under many one-sided limits on a few numbers.
import { invariant } from '../../base/invariant.ts';
import { NONE } from '../../mesh/mesh.ts';
import { invertSmall } from './small-inverse.ts';

/** All points x with row . x <= limit for every row. */
export interface Constraints {
  readonly numVars: number;
  /** num x numVars, row by row; of any length, but variables should be of like size: see docs/methods/linear-programs.md. */
  readonly rows: Float64Array;
  /** num. */
  readonly limits: Float64Array;
}

export type LinearOutcome =
  /** `at` (numVars) keeps all limits and no point that does reaches more. */
  | { readonly status: 'best'; readonly value: number; readonly at: Float64Array }
  /** From any point that keeps the limits one may go along `ray` (numVars, largest part 1) for ever, and gains. */
  | { readonly status: 'unbounded'; readonly ray: Float64Array }
  /** No point keeps all limits. */
  | { readonly status: 'infeasible' };

/** How far a row may be beyond its limit: rows and rays are of length 1, limits in units of the largest. */
const SLACK = 1e-9;

/** Of sums of a few products, as a share of the largest. */
const ROUNDING = 64 * Number.EPSILON;

/** Smaller shares of a row in the entering one are rounding. */
const LEAST_PIVOT = 1e-9;

/** After so many exchanges ties are broken by order and no longer by the larger pivot, so that none comes round again. */
const PIVOTS_BY_SIZE = 200;

/** Far beyond what any program has needed (some dozens): only a fault of this file comes there. */
const MOST_PIVOTS = 20_000;

/** Maximises objective . x (numVars) under `constraints`.
 *  Cost: O(num x numVars) a step, some 10 to 40 steps; under 3 ms for 10,000 rows of 6. Never throws for what the numbers are.
 *  Method: dual simplex on the few variables (Lemke 1954) from a box whose size is a symbol, lexicographic where it ties (Dantzig,
 *  Orden, Wolfe 1955); docs/methods/linear-programs.md. Weak: limits nearer than 1e-9 of the largest are one limit.
 *  @example  linearProgram([1, 1], { numVars: 2, rows: Float64Array.of(1, 0, 0, 1), limits: Float64Array.of(2, 3) }) // value 5 */
export function linearProgram(objective: ArrayLike<number>, constraints: Constraints): LinearOutcome {
  return linearPrograms(constraints)(objective);
}

/** For many objectives under the same constraints: rows that have ever mattered are looked at first, the rest only once they are kept,
 *  so that each further objective costs one pass over all rows. */
export function linearPrograms(constraints: Constraints): (objective: ArrayLike<number>) => LinearOutcome {
  const { numVars: n } = constraints;
  const { rows, limits, unit, isEmpty } = boxedRows(constraints);
  const num = limits.length;
  const isKnown = new Uint8Array(num);
  const known: number[] = [];
  const know = (row: number): void => {
    if (isKnown[row] === 1) return;
    isKnown[row] = 1;
    known.push(row);
  };
  for (let row = num - 2 * n; row < num; row++) know(row);
  const all = Array.from({ length: num - 2 * n }, (_, row) => row);

  return (objective) => {
    if (isEmpty) return { status: 'infeasible' };
    const vertex = boxCorner(objective, num, n);
    for (let pivots = 0; pivots < MOST_PIVOTS; pivots++) {
      placeVertex(vertex, rows, limits);
      let enters = farthestBeyond(vertex, { rows, limits, among: known });
      if (enters === NONE) enters = farthestBeyond(vertex, { rows, limits, among: all });
      if (enters === NONE) return outcomeAt(vertex, { rows, limits, unit, objective });
      know(enters);
      const leaves = leavingPlace(vertex, rows, { enters, objective, byOrder: pivots >= PIVOTS_BY_SIZE });
      if (leaves === NONE) return { status: 'infeasible' };
      vertex.basis[leaves] = enters;
    }
    invariant(false, 'a linear program of a few variables ends');
  };
}

interface BoxedRows {
  /** Of length 1; the last 2 x numVars are the sides of the box, +x, -x, +y ... */
  readonly rows: Float64Array;
  /** In units of `unit`; of the box 0, its size being a symbol. */
  readonly limits: Float64Array;
  readonly unit: number;
  /** Whether a row without direction asks for the impossible. */
  readonly isEmpty: boolean;
}

function boxedRows({ numVars: n, rows: given, limits: asked }: Constraints): BoxedRows {
  const num = asked.length;
  const rows = new Float64Array((num + 2 * n) * n);
  const limits = new Float64Array(num + 2 * n);
  let filled = 0;
  let isEmpty = false;
  for (let row = 0; row < num; row++) {
    let square = 0;
    for (let k = 0; k < n; k++) square += given[row * n + k]! ** 2;
    const length = Math.sqrt(square);
    if (length < 1e-12) {
      if (asked[row]! < -1e-12) isEmpty = true;
      continue;
    }
    for (let k = 0; k < n; k++) rows[filled * n + k] = given[row * n + k]! / length;
    limits[filled++] = asked[row]! / length;
  }
  let unit = 0;
  for (let row = 0; row < filled; row++) unit = Math.max(unit, Math.abs(limits[row]!));
  if (unit === 0) unit = 1;
  for (let row = 0; row < filled; row++) limits[row] = limits[row]! / unit;
  for (let side = 0; side < 2 * n; side++) rows[(filled + side) * n + (side >> 1)] = side % 2 === 0 ? 1 : -1;
  return { rows: rows.subarray(0, (filled + 2 * n) * n), limits: limits.subarray(0, filled + 2 * n), unit, isEmpty };
}

/** A corner of rows that hold with equality: x = near + far x (size of the box). */
interface Vertex {
  readonly num: number;
  readonly basis: Int32Array;
  /** numVars x numVars: column j is the edge on which only row basis[j] is left. */
  readonly inverse: Float64Array;
  readonly near: Float64Array;
  readonly far: Float64Array;
  isFar: boolean;
}

/** The corner of the box where the objective is largest: no limit but the box is kept yet, and nothing beats it. */
function boxCorner(objective: ArrayLike<number>, num: number, n: number): Vertex {
  const basis = new Int32Array(n);
  for (let k = 0; k < n; k++) basis[k] = num - 2 * n + 2 * k + (objective[k]! < 0 ? 1 : 0);
  return {
    num,
    basis,
    inverse: new Float64Array(n * n),
    near: new Float64Array(n),
    far: new Float64Array(n),
    isFar: true,
  };
}

function placeVertex(vertex: Vertex, rows: Float64Array, limits: Float64Array): void {
  const { num, basis, inverse, near, far } = vertex;
  const n = basis.length;
  const matrix = new Float64Array(n * n);
  for (let j = 0; j < n; j++) matrix.set(rows.subarray(basis[j]! * n, basis[j]! * n + n), j * n);
  invariant(invertSmall(matrix, n, inverse), 'rows of a vertex have one common point');
  vertex.isFar = false;
  for (let k = 0; k < n; k++) {
    near[k] = 0;
    far[k] = 0;
    for (let j = 0; j < n; j++) {
      const share = inverse[k * n + j]!;
      if (basis[j]! < num - 2 * n) near[k] = near[k]! + share * limits[basis[j]!]!;
      else far[k] = far[k]! + share;
    }
    if (Math.abs(far[k]!) > SLACK) vertex.isFar = true;
  }
}

/** The row that is broken by most: first of those broken the more the larger the box, then of those the box does not touch. */
function farthestBeyond(
  { num, near, far, isFar }: Vertex,
  by: { readonly rows: Float64Array; readonly limits: Float64Array; readonly among: readonly number[] },
): number {
  const n = near.length;
  const { rows, limits, among } = by;
  let worstFar = SLACK;
  let size = 0;
  for (let k = 0; k < n; k++) size = Math.max(size, Math.abs(near[k]!));
  // rows that run almost alike meet far out, where rounding alone is more than the slack
  let worstNear = SLACK + ROUNDING * size;
  let isFarWorst = false;
  let worst = NONE;
  for (let i = 0; i < among.length; i++) {
    const row = among[i]!;
    const from = row * n;
    let over = -limits[row]!;
    for (let k = 0; k < n; k++) over += rows[from + k]! * near[k]!;
    if (isFar) {
      let rises = row < num - 2 * n ? 0 : -1;
      for (let k = 0; k < n; k++) rises += rows[from + k]! * far[k]!;
      if (rises > worstFar) {
        worstFar = rises;
        isFarWorst = true;
        worst = row;
      }
      if (isFarWorst || rises < -SLACK) continue;
    } else if (row >= num - 2 * n) continue;
    if (over > worstNear) {
      worstNear = over;
      worst = row;
    }
  }
  return worst;
}

/** Which place of the basis the entering row takes, so that the objective stays a sum of the basis with no part below 0: NONE when each
 *  would be, which proves that the rows contradict each other. */
function leavingPlace(
  { basis, inverse }: Vertex,
  rows: Float64Array,
  by: { readonly enters: number; readonly objective: ArrayLike<number>; readonly byOrder: boolean },
): number {
  const n = basis.length;
  const share = new Float64Array(n);
  const part = new Float64Array(n);
  let size = 0;
  for (let k = 0; k < n; k++) size = Math.max(size, Math.abs(by.objective[k]!));
  for (let j = 0; j < n; j++) {
    for (let k = 0; k < n; k++) {
      share[j] = share[j]! + rows[by.enters * n + k]! * inverse[k * n + j]!;
      part[j] = part[j]! + (by.objective[k]! * inverse[k * n + j]!) / (size || 1);
    }
    part[j] = Math.max(0, part[j]!);
  }
  let most = Infinity;
  for (let j = 0; j < n; j++)
    if (share[j]! > LEAST_PIVOT) most = Math.min(most, (part[j]! + (by.byOrder ? 0 : 1e-11)) / share[j]!);
  let leaves = NONE;
  for (let j = 0; j < n; j++) {
    if (!(share[j]! > LEAST_PIVOT) || part[j]! / share[j]! > most) continue;
    if (leaves === NONE) leaves = j;
    else if (by.byOrder ? comesBefore(j, leaves) : share[j]! > share[leaves]!) leaves = j;
  }
  return leaves;

  /** Ties as if the objective leant a little to the first side of the box it began with, far less to the second, and so on. */
  function comesBefore(a: number, b: number): boolean {
    for (let k = 0; k < n; k++) {
      const lean = by.objective[k]! < 0 ? -1 : 1;
      const difference = lean * (inverse[k * n + a]! / share[a]! - inverse[k * n + b]! / share[b]!);
      if (Math.abs(difference) > 1e-12) return difference < 0;
    }
    return false;
  }
}

function outcomeAt(
  { num, near, far, isFar }: Vertex,
  by: {
    readonly rows: Float64Array;
    readonly limits: Float64Array;
    readonly unit: number;
    readonly objective: ArrayLike<number>;
  },
): LinearOutcome {
  const n = near.length;
  const { rows, limits, unit, objective } = by;
  let gain = 0;
  let size = 0;
  for (let k = 0; k < n; k++) {
    gain += objective[k]! * far[k]!;
    size += Math.abs(objective[k]!);
  }
  if (isFar && gain > SLACK * size) return { status: 'unbounded', ray: far.slice() };
  // The objective does not gain along `far`, but rows may be kept only some way out along it.
  let out = 0;
  for (let row = 0; isFar && row < num - 2 * n; row++) {
    let over = -limits[row]!;
    let rises = 0;
    for (let k = 0; k < n; k++) {
      over += rows[row * n + k]! * near[k]!;
      rises += rows[row * n + k]! * far[k]!;
    }
    if (rises < -SLACK && over > 0) out = Math.max(out, over / -rises);
  }
  const at = near.map((value, k) => unit * (value + out * far[k]!));
  let value = 0;
  for (let k = 0; k < n; k++) value += objective[k]! * at[k]!;
  return { status: 'best', value, at };
}
