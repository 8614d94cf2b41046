// A smooth curve through given points, tabulated so that a shape can ask it a million times.

export interface Curve {
  at(x: number): number;
  slope(x: number): number;
}

/** A cubic through (x, y) pairs, x rising, without overshoot between them; constant before the first and after the last point.
 *  Source: Fritsch and Carlson 1980 (slopes by Fritsch and Butland's harmonic mean). */
export function smoothCurve(points: readonly (readonly [number, number])[]): Curve {
  const n = points.length;
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  const chord = (i: number): number => (ys[i + 1]! - ys[i]!) / (xs[i + 1]! - xs[i]!);
  const slopes = xs.map((_, i) => {
    if (i === 0 || i === n - 1) return 0;
    const [a, b] = [chord(i - 1), chord(i)];
    return a * b <= 0 ? 0 : (2 * a * b) / (a + b);
  });
  return tabulated((x) => hermite(xs, ys, slopes, x), xs[0]!, xs[n - 1]!);
}

const CELLS = 512;

/** Reads a function from a table by cubics that meet with one slope. Beyond its ends it is constant. */
export function tabulated(f: (x: number) => number, from: number, to: number): Curve {
  const step = (to - from) / CELLS;
  const values = Float64Array.from({ length: CELLS + 1 }, (_, i) => f(from + i * step));
  const slopes = Float64Array.from({ length: CELLS + 1 }, (_, i) => {
    const [low, high] = [Math.max(0, i - 1), Math.min(CELLS, i + 1)];
    return (values[high]! - values[low]!) / ((high - low) * step);
  });
  const cell = (x: number): number => Math.min(CELLS - 1, Math.floor((x - from) / step));
  return {
    at(x) {
      if (x <= from) return values[0]!;
      if (x >= to) return values[CELLS]!;
      const i = cell(x);
      const t = (x - from) / step - i;
      const [a, b] = [values[i]!, values[i + 1]!];
      const [p, q] = [slopes[i]! * step, slopes[i + 1]! * step];
      return a + t * (p + t * (3 * (b - a) - 2 * p - q + t * (p + q - 2 * (b - a))));
    },
    slope(x) {
      if (x <= from || x >= to) return 0;
      const i = cell(x);
      const t = (x - from) / step - i;
      return slopes[i]! + t * (slopes[i + 1]! - slopes[i]!);
    },
  };
}

function hermite(xs: readonly number[], ys: readonly number[], slopes: readonly number[], x: number): number {
  let i = 0;
  while (i < xs.length - 2 && x > xs[i + 1]!) i++;
  const h = xs[i + 1]! - xs[i]!;
  const t = (x - xs[i]!) / h;
  const s = 1 - t;
  return (
    ys[i]! * s * s * (1 + 2 * t) +
    ys[i + 1]! * t * t * (3 - 2 * t) +
    h * (slopes[i]! * t * s * s - slopes[i + 1]! * t * t * s)
  );
}
