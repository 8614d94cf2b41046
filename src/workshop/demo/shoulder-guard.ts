// A shoulder guard of three plates, each under the edge of the one above, joined to one solid.
import type { Field } from '../../geometry/isosurface/isosurface.ts';
import { clamp01, toNearestTurn } from './field.ts';

const FORM = { halfX: 72, halfY: 76, high: 70 } as const;
/** Per plate, top first: how far out its middle lies, its lower and upper edge at the side of the arm, mm. */
const PLATES = [
  { out: 5.2, low: 6, high: 400 },
  { out: 2.6, low: -28, high: 16 },
  { out: 0, low: -64, high: -18 },
] as const;
const HALF_THICK = 1.5;

/** Its solid, upright, mm, mirrored at y = 0; the arm hangs toward -z, the neck lies toward -x. No handles. */
export const shoulderGuard: Field = (x, y, z) => {
  const form = formAt(x, y, z);
  const arch = 0.0022 * y * y;
  const turn = Math.atan2(y, x);
  let solid = Infinity;
  for (const plate of PLATES) {
    const out = form - plate.out;
    const above = (z - plate.low - arch) * 0.92;
    const sheet = Math.max(Math.abs(out) - HALF_THICK, 2 - above, z - plate.high - arch);
    const roll = Math.hypot(out - 1.2, above - 2.4) - 2.7;
    solid = Math.min(solid, sheet, Math.max(roll, out - 3.3));
    solid = Math.min(solid, rivetAt(turn, above - 11, out - HALF_THICK));
  }
  const neck = -22 - x;
  const ridge = Math.max(Math.abs(y) * 0.9 + (form - PLATES[0].out) * 0.9 - 5.2, 8 + arch - z, -(form - PLATES[0].out));
  return Math.max(Math.min(solid, ridge), neck, -form - HALF_THICK);
};

export const SHOULDER_GUARD_BOUNDS = { minMm: [-30, -88, -70], maxMm: [88, 88, 86] } as const;

/** A dome over an upright arm. */
function formAt(x: number, y: number, z: number): number {
  const u = x / FORM.halfX;
  const v = y / FORM.halfY;
  const w = Math.max(0, z) / FORM.high;
  const size = Math.sqrt(u * u + v * v + w * w);
  const slope = Math.hypot(u / FORM.halfX, v / FORM.halfY, w / FORM.high);
  return slope < 1e-4 ? -60 : ((size - 1) * size) / slope;
}

const RIVETS = 20;

function rivetAt(turn: number, above: number, out: number): number {
  const aside = toNearestTurn(turn + Math.PI / RIVETS, RIVETS) * 80;
  const cap = Math.hypot(aside, above, out + 1) - 3.6;
  return cap + 20 * clamp01((Math.abs(turn) - 1.75) * 10);
}
