// A linear program by trying every corner: only for a few rows of two or three variables.
import type { Constraints } from '../../src/geometry/linear/linear-program.ts';

type Row = readonly number[];

/** Wide of any corner that small whole numbers make. */
const FAR = 1e4;

export function bruteLinearProgram(
  objective: readonly number[],
  { numVars, rows, limits }: Constraints,
): { status: 'best' | 'unbounded' | 'infeasible'; value: number } {
  const all = Array.from(limits, (limit, i): Row => [...rows.subarray(i * numVars, (i + 1) * numVars), limit]);
  const within = (size: number): Row[] =>
    Array.from({ length: numVars * 2 }, (_, side) => [
      ...Array.from({ length: numVars }, (_, k) => (k === side >> 1 ? (side % 2 === 0 ? 1 : -1) : 0)),
      size,
    ]);
  const best = bestCorner(objective, [...all, ...within(FAR)]);
  if (best === null) return { status: 'infeasible', value: NaN };
  // A way to go for ever is a point of the same rows with limits of 0.
  const way = bestCorner(objective, [...all.map((row) => [...row.slice(0, numVars), 0]), ...within(1)]);
  return way !== null && way > 1e-7 ? { status: 'unbounded', value: Infinity } : { status: 'best', value: best };
}

function bestCorner(objective: readonly number[], rows: readonly Row[]): number | null {
  let best: number | null = null;
  const n = objective.length;
  for (const chosen of choices(rows.length, n)) {
    const at = solved(chosen.map((i) => rows[i]!));
    if (at === null) continue;
    const isKept = rows.every((row) => at.reduce((sum, x, k) => sum + x * row[k]!, 0) <= row[n]! + 1e-6);
    if (!isKept) continue;
    const value = at.reduce((sum, x, k) => sum + x * objective[k]!, 0);
    if (best === null || value > best) best = value;
  }
  return best;
}

function* choices(num: number, of: number, from = 0): Generator<number[]> {
  if (of === 0) {
    yield [];
    return;
  }
  for (let i = from; i <= num - of; i++) for (const rest of choices(num, of - 1, i + 1)) yield [i, ...rest];
}

/** Cramer's rule. */
function solved(rows: readonly Row[]): number[] | null {
  const n = rows.length;
  const whole = determinant(rows.map((row) => row.slice(0, n)));
  if (Math.abs(whole) < 1e-9) return null;
  return rows.map((_, k) => determinant(rows.map((row) => row.slice(0, n).with(k, row[n]!))) / whole);
}

function determinant(m: readonly Row[]): number {
  if (m.length === 1) return m[0]![0]!;
  return m[0]!.reduce((sum, x, k) => {
    const rest = m.slice(1).map((row) => row.filter((_, col) => col !== k));
    return x === 0 ? sum : sum + (k % 2 === 0 ? 1 : -1) * x * determinant(rest);
  }, 0);
}
