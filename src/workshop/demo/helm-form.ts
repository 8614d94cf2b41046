// The Keeper's helm without ornament: an egg-shaped drum under a full dome. Everything else is laid on this surface.
import { smoothCurve } from './curve.ts';

/** Height above which the drum turns into the dome, and of the top of the dome, mm. */
export const BROW_Z = 165;
export const DOME_Z = 255;

/** Half width, and depth to the front and to the back, by height. */
const HALF_WIDTH = smoothCurve([
  [-12, 98],
  [0, 97.2],
  [28, 93.6],
  [60, 93],
  [100, 95.8],
  [140, 99],
  [BROW_Z, 100],
]);
const FRONT = smoothCurve([
  [-12, 103],
  [0, 104],
  [28, 108],
  [62, 112.5],
  [100, 114.5],
  [140, 116.6],
  [BROW_Z, 117],
]);
const BACK = smoothCurve([
  [-12, 121],
  [0, 119],
  [30, 110.5],
  [64, 108.5],
  [105, 112.5],
  [140, 117],
  [BROW_Z, 118],
]);

/** u^2.25 by square roots: sections a little fuller than an ellipse. */
function power(u: number): number {
  return u * u * Math.sqrt(Math.sqrt(u));
}
const EXPONENT = 2.25;

/** Distance from the outside of the wall (negative within), good to second order near it. ax = |x|. */
export function formAt(ax: number, y: number, z: number): number {
  const a = HALF_WIDTH.at(z);
  const depth = y >= 0 ? FRONT : BACK;
  const b = depth.at(z);
  const u = ax / a;
  const v = Math.abs(y) / b;
  const w = z > BROW_Z ? (z - BROW_Z) / (DOME_Z - BROW_Z) : 0;
  const pu = power(u);
  const pv = power(v);
  const pw = power(w);
  const sum = pu + pv + pw;
  if (sum < 1e-3) return -75;
  const size = sum ** (1 / EXPONENT);
  // Slope of size: size / sum * (pu / u, pv / v, pw / w), carried to x, y, z.
  const share = size / sum;
  const gx = u > 0 ? (share * pu) / (u * a) : 0;
  const gy = v > 0 ? (share * pv) / (v * b) : 0;
  let gz = w > 0 ? (share * pw) / (w * (DOME_Z - BROW_Z)) : 0;
  if (z < BROW_Z) gz -= share * ((pu * HALF_WIDTH.slope(z)) / a + (pv * depth.slope(z)) / b);
  return (size - 1) / Math.sqrt(gx * gx + gy * gy + gz * gz);
}
