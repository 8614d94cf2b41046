// The Keeper's helm without ornament: an egg-shaped drum under a full dome with a lantern on it. All else is laid on this surface.
import { smoothCurve, tabulated } from './curve.ts';
import { joined } from './field.ts';

/** Height above which the drum turns into the dome, and of the top of the dome, mm. */
export const BROW_Z = 165;
export const DOME_Z = 250;
/** The lantern: radius of its drum, and where its roof begins and would end in a point. */
export const LANTERN = { radius: 29, roofZ: 270, tipZ: 287 } as const;

const DOME_MM = DOME_Z - BROW_Z;

/** Half width, and depth to the front and to the back, by height. */
const HALF_WIDTH = smoothCurve([
  [-12, 99],
  [0, 97],
  [26, 90.5],
  [52, 89],
  [92, 93.5],
  [135, 98.6],
  [BROW_Z, 100],
]);
const FRONT = smoothCurve([
  [-12, 103],
  [0, 104.5],
  [24, 109],
  [58, 115],
  [84, 114.2],
  [122, 112.5],
  [150, 115.6],
  [BROW_Z, 117],
]);
const BACK = smoothCurve([
  [-12, 132],
  [0, 125.5],
  [26, 112],
  [62, 104.5],
  [105, 110],
  [140, 116.6],
  [BROW_Z, 118],
]);

/** u^2.25 by square roots: sections a little fuller than an ellipse. */
function power(u: number): number {
  return u * u * Math.sqrt(Math.sqrt(u));
}
const EXPONENT = 2.25;

/** Distance from the outside of drum and dome (negative within), good to second order near it. ax = |x|. */
export function domeAt(ax: number, y: number, z: number): number {
  const a = HALF_WIDTH.at(z);
  const depth = y >= 0 ? FRONT : BACK;
  const b = depth.at(z);
  const u = ax / a;
  const v = Math.abs(y) / b;
  const w = z > BROW_Z ? (z - BROW_Z) / DOME_MM : 0;
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
  let gz = w > 0 ? (share * pw) / (w * DOME_MM) : 0;
  if (z < BROW_Z) gz -= share * ((pu * HALF_WIDTH.slope(z)) / a + (pv * depth.slope(z)) / b);
  return (size - 1) / Math.sqrt(gx * gx + gy * gy + gz * gz);
}

/** Distance from the outside of the lantern: a drum under a conical roof. round = distance from the z axis. */
export function lanternAt(round: number, z: number): number {
  const { radius, roofZ, tipZ } = LANTERN;
  const rise = tipZ - roofZ;
  const roof = ((z - roofZ) * radius + (round - radius) * rise) / Math.hypot(radius, rise);
  return Math.max(round - radius, roof, DOME_Z - 25 - z);
}

/** The outside of the wall. */
export function formAt(dome: number, lantern: number): number {
  return joined(dome, lantern, 4);
}

/** Way round the brow from the middle of the front, mm, by the turn about the z axis (0 front, pi back). */
const WAY = tabulated(wayRound(), 0, Math.PI);

export function wayAt(turnRad: number): number {
  return WAY.at(turnRad);
}

export const HALF_ROUND_MM = WAY.at(Math.PI);

function wayRound(): (turn: number) => number {
  const steps = 8192;
  const ways = new Float64Array(steps + 1);
  const [a, f, b] = [HALF_WIDTH.at(BROW_Z), FRONT.at(BROW_Z), BACK.at(BROW_Z)];
  const radius = (turn: number): number => {
    const [s, c] = [Math.sin(turn), Math.cos(turn)];
    return (power(s / a) + power(Math.abs(c) / (c >= 0 ? f : b))) ** (-1 / EXPONENT);
  };
  for (let i = 1; i <= steps; i++) {
    const [t0, t1] = [((i - 1) * Math.PI) / steps, (i * Math.PI) / steps];
    const [r0, r1] = [radius(t0), radius(Math.min(t1, Math.PI))];
    ways[i] = ways[i - 1]! + Math.hypot(r1 * Math.sin(t1) - r0 * Math.sin(t0), r1 * Math.cos(t1) - r0 * Math.cos(t0));
  }
  return (turn) => {
    const at = (turn / Math.PI) * steps;
    const i = Math.min(steps - 1, Math.floor(at));
    return ways[i]! + (ways[i + 1]! - ways[i]!) * (at - i);
  };
}

/** A place near the wall, in the terms ornaments are laid in. Written anew for every value, to spare small objects. */
export interface Place {
  /** |x|, y, z, mm. */
  ax: number;
  y: number;
  z: number;
  /** Distance from the z axis, and turn about it from the front, 0 to pi. */
  round: number;
  turn: number;
  /** Way round the brow from the front, mm. */
  way: number;
  /** Height above the wall: of drum and dome alone. */
  out: number;
}
