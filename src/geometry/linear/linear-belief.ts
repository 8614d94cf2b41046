// What is believed of the factors of a linear law, and how each measurement changes it: Bayesian linear regression of few values.

/** Factors with their spread, and the noise of a measurement, in the normal-inverse-gamma form: given the noise variance v the factors are normal
 *  round `mean` with covariance v x `spread`; 1 / v is gamma distributed with `shape` and rate `rate`. */
export interface LinearBelief {
  readonly mean: Float64Array;
  /** num x num, row by row, in units of the noise variance. */
  readonly spread: Float64Array;
  readonly shape: number;
  readonly rate: number;
}

/** The belief after one more measurement `value` = `row` . factors + noise. Exact; the order of measurements is of no account.
 *  Cost: O(num^2). Method: conjugate update, Bishop 2006, section 3.3 and exercise 3.12, for one row at a time (Sherman-Morrison);
 *  docs/methods/measured-prints.md. */
export function believeMore(belief: LinearBelief, row: readonly number[], value: number): LinearBelief {
  const { mean, spread, shape, rate } = belief;
  const num = mean.length;
  const turned = spreadTimes(belief, row);
  const wide = 1 + dotOf(turned, row);
  const off = value - dotOf(mean, row);
  const next = Float64Array.from(spread);
  for (let i = 0; i < num; i++)
    for (let j = 0; j < num; j++) next[i * num + j] = next[i * num + j]! - (turned[i]! * turned[j]!) / wide;
  return {
    mean: mean.map((factor, i) => factor + (turned[i]! * off) / wide),
    spread: next,
    shape: shape + 0.5,
    rate: rate + (off * off) / (2 * wide),
  };
}

/** What the law says of a sum of new measurements: its middle, and the scale of the Student t with `freedom` degrees of freedom round it.
 *  `row`: the sum of their rows. `noise`: the root of the sum of squares of what each counts, in units of one measurement's noise. */
export function foretell(
  belief: LinearBelief,
  row: readonly number[],
  noise: number,
): { readonly value: number; readonly scale: number; readonly freedom: number } {
  const variance = (belief.rate / belief.shape) * (dotOf(spreadTimes(belief, row), row) + noise * noise);
  return { value: dotOf(belief.mean, row), scale: Math.sqrt(variance), freedom: 2 * belief.shape };
}

function spreadTimes({ spread, mean }: LinearBelief, row: readonly number[]): Float64Array {
  const num = mean.length;
  return mean.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < num; j++) sum += spread[i * num + j]! * row[j]!;
    return sum;
  });
}

function dotOf(a: Float64Array, b: readonly number[]): number {
  return a.reduce((sum, each, i) => sum + each * b[i]!, 0);
}
