// A tern's half mask, brow to cheek, with a short beak: the small demonstration piece.
import type { Field } from '../../geometry/isosurface/isosurface.ts';
import { bar2, joined, ramp } from './field.ts';

const WALL_MM = 3;
const FACE = { halfWidth: 97, depth: 92, halfHeight: 150 } as const;
const BEAK = { fromY: 78, fromZ: -12, toY: 132, toZ: -40, thick: 18, tip: 5 } as const;

/** Its solid, upright, mm, face to +y, mirrored at x = 0 exactly. Four handles: two eyes, two slots for a ribbon. */
export const halfMask: Field = (x, y, z) => {
  const ax = Math.abs(x);
  const out = joined(faceAt(ax, y, z), beakAt(ax, y, z), 14);
  // The outline trims the face; the beak stands out beyond it.
  const rim = Math.min(rimAt(ax, z), BEAK_FREE_Y - y);
  const cap = Math.max(out - 1.8, capLine(ax, z), -featherAt(ax, z, out));
  const roll = Math.max(Math.hypot(out + 1.5, rim + 2.6) - 3.1, y - BEAK_FREE_Y + 4);
  const sheet = Math.max(Math.min(out, cap), -(out + WALL_MM), rim + 2);
  return Math.max(Math.min(sheet, roll), -eyeAt(ax, z), -slotAt(ax, z), 15 - y);
};

/** Farther forward than this the outline cuts nothing. */
const BEAK_FREE_Y = 97;

export const HALF_MASK_BOUNDS = { minMm: [-90, 12, -56], maxMm: [90, 145, 76] } as const;

function faceAt(ax: number, y: number, z: number): number {
  const u = ax / FACE.halfWidth;
  const v = y / FACE.depth;
  const w = z / FACE.halfHeight;
  const size = Math.sqrt(u * u + v * v + w * w);
  const slope = Math.hypot(u / FACE.halfWidth, v / FACE.depth, w / FACE.halfHeight);
  return slope < 1e-4 ? -70 : ((size - 1) * size) / slope;
}

/** A tapering bar that bends down a little. */
function beakAt(ax: number, y: number, z: number): number {
  const share = Math.min(1, Math.max(0, (y - BEAK.fromY) / (BEAK.toY - BEAK.fromY)));
  const middle = BEAK.fromZ + (BEAK.toZ - BEAK.fromZ) * share ** 1.5;
  const thick = BEAK.thick + (BEAK.tip - BEAK.thick) * share;
  const beyond = Math.max(0, y - BEAK.toY, BEAK.fromY - y);
  return (Math.hypot(ax * 1.15, z - middle, 1.7 * beyond) - thick) * 0.82;
}

/** Distance outside the outline as seen from the front: swept up at the temples, cut high over the cheeks. */
function rimAt(ax: number, z: number): number {
  const top = 34 + 26 * ramp(8, 86, ax) - 0.0016 * (ax - 40) ** 2;
  const low = -37 + 8 * ramp(8, 30, ax) + 40 * ramp(28, 88, ax);
  return Math.max((z - top) * 0.9, (low - z) * 0.85, (ax - 82 + 0.05 * z) * 0.99);
}

/** Almond eyes that rise outward. */
function eyeAt(ax: number, z: number): number {
  const [dx, dz] = [ax - 34, z - 3];
  const along = dx * 0.96 + dz * 0.28;
  const across = dz * 0.96 - dx * 0.28;
  const bow = Math.hypot(along, Math.abs(across) + 13);
  return bow - 24.5;
}

/** Below the line of the bird's dark cap: from the beak through the eyes to the temples. */
function capLine(ax: number, z: number): number {
  return (6 + 0.28 * (ax - 34) - z) * 0.95;
}

/** Grooves between the cap's feathers, fanning out from the beak. */
function featherAt(ax: number, z: number, out: number): number {
  const turn = Math.atan2(ax, z + 40);
  const reach = Math.hypot(ax, z + 40);
  const step = 0.19;
  const off = Math.abs(turn - step * (Math.floor(turn / step) + 0.5)) * reach;
  return Math.max(off - 1.5, 0.2 - out, 66 - reach, 22 - ax);
}

function slotAt(ax: number, z: number): number {
  return bar2(ax, z, [72, 28, 74, 40], 2.4);
}
