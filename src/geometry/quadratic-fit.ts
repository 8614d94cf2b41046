// The quadratic surface z = c0 + c1 x + c2 y + c3 xx + c4 xy + c5 yy that lies nearest to given heights.

/** Coefficients c0 to c5. */
export type Quadratic = readonly [number, number, number, number, number, number];

/** Least squares over points num x 3 (x, y, z). Directions that the points say nothing about stay flat. Cost: O(num).
 *  Method: normal equations about the middle of the points, in units of their spread, with 1e-9 of the diagonal added. */
export function fitQuadratic(points: Float64Array): Quadratic {
  const { x: mx, y: my, spread } = middleOf(points);
  const m = new Float64Array(42);
  for (let i = 0; i < points.length; i += 3) {
    const [x, y] = [(points[i]! - mx) / spread, (points[i + 1]! - my) / spread];
    const row = [1, x, y, x * x, x * y, y * y, points[i + 2]!];
    for (let r = 0; r < 6; r++) for (let c = 0; c < 7; c++) m[r * 7 + c] = m[r * 7 + c]! + row[r]! * row[c]!;
  }
  const most = Math.max(1e-30, ...[0, 8, 16, 24, 32, 40].map((i) => m[i]!));
  for (let r = 0; r < 6; r++) m[r * 8] = m[r * 8]! + 1e-9 * most;
  eliminate(m);
  const [a, b, c, d, e, f] = [0, 1, 2, 3, 4, 5].map((r) => m[r * 7 + 6]!) as unknown as Quadratic;
  const [b1, c1, d2, e2, f2] = [b / spread, c / spread, d / spread ** 2, e / spread ** 2, f / spread ** 2];
  return [
    a - b1 * mx - c1 * my + d2 * mx * mx + e2 * mx * my + f2 * my * my,
    b1 - 2 * d2 * mx - e2 * my,
    c1 - 2 * f2 * my - e2 * mx,
    d2,
    e2,
    f2,
  ];
}

export function heightOf(q: Quadratic, x: number, y: number): number {
  return q[0] + q[1] * x + q[2] * y + q[3] * x * x + q[4] * x * y + q[5] * y * y;
}

/** Slopes along x and y. */
export function slopeOf(q: Quadratic, x: number, y: number): readonly [number, number] {
  return [q[1] + 2 * q[3] * x + q[4] * y, q[2] + q[4] * x + 2 * q[5] * y];
}

function middleOf(points: Float64Array): { x: number; y: number; spread: number } {
  let [x, y, spread] = [0, 0, 0];
  const num = Math.max(1, points.length / 3);
  for (let i = 0; i < points.length; i += 3) {
    x += points[i]! / num;
    y += points[i + 1]! / num;
  }
  for (let i = 0; i < points.length; i += 3)
    spread = Math.max(spread, Math.abs(points[i]! - x), Math.abs(points[i + 1]! - y));
  return { x, y, spread: spread > 0 ? spread : 1 };
}

/** Six equations of 7 numbers each: the last column becomes the solution. */
function eliminate(m: Float64Array): void {
  for (let c = 0; c < 6; c++) {
    let pivot = c;
    for (let r = c + 1; r < 6; r++) if (Math.abs(m[r * 7 + c]!) > Math.abs(m[pivot * 7 + c]!)) pivot = r;
    for (let k = 0; k < 7; k++) [m[c * 7 + k], m[pivot * 7 + k]] = [m[pivot * 7 + k]!, m[c * 7 + k]!];
    for (let r = 0; r < 6; r++) {
      if (r === c) continue;
      const f = m[r * 7 + c]! / m[c * 8]!;
      for (let k = c; k < 7; k++) m[r * 7 + k] = m[r * 7 + k]! - f * m[c * 7 + k]!;
    }
    const by = m[c * 8]!;
    for (let k = c; k < 7; k++) m[c * 7 + k] = m[c * 7 + k]! / by;
  }
}
