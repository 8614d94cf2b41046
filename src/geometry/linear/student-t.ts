// Quantiles of Student's t for whole degrees of freedom: how wide a statement from few measurements must be.
import { invariant } from '../../base/invariant.ts';

/** The width either side of the middle within which a value lies with the chance `sure` (0 to 1), in scales of the distribution. `freedom` is a
 *  whole number from 1. Cost: 60 sums of freedom / 2 terms. Exact to 1e-12.
 *  Method: the finite sums of the distribution for whole degrees of freedom (Abramowitz and Stegun 26.7.3 and 26.7.4), halved on. */
export function studentWidth(sure: number, freedom: number): number {
  invariant(Number.isInteger(freedom) && freedom >= 1, 'degrees of freedom are a whole number from 1');
  invariant(sure > 0 && sure < 1, 'a chance lies between 0 and 1');
  let [low, high] = [0, 1];
  while (studentWithin(high, freedom) < sure) [low, high] = [high, high * 2];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (studentWithin(middle, freedom) < sure) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The chance that a value lies within `width` scales either side of the middle. */
export function studentWithin(width: number, freedom: number): number {
  const angle = Math.atan(width / Math.sqrt(freedom));
  const [sine, cosine] = [Math.sin(angle), Math.cos(angle)];
  const isOdd = freedom % 2 === 1;
  let [term, sum] = [isOdd ? cosine : 1, 0];
  for (let k = isOdd ? 1 : 0; k <= freedom - 2; k += 2) {
    sum += term;
    term *= ((k + 1) / (k + 2)) * cosine * cosine;
  }
  return isOdd ? (2 / Math.PI) * (angle + sine * sum) : sine * sum;
}
