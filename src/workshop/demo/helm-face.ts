// The face: one wide eye opening under a drip ledge, cheek panels, and the breathing holes at the mouth.
import { polygon2, toNearestTurn } from './field.ts';
import type { Place } from './helm-form.ts';

/** The eye opening, laid on the wall: half its straight part, radius of its ends, height of its middle. */
const EYES = { half: 66, radius: 15, z: 124, drop: 0.0016 } as const;

/** Distance from the rim of the eye opening, along the wall; negative in the opening. */
export function eyesAt({ way, y, z }: Place): number {
  if (y < 0) return 60;
  const dz = z - EYES.z + EYES.drop * way * way;
  const dw = way > EYES.half ? way - EYES.half : 0;
  return Math.hypot(dw, dz) - EYES.radius;
}

/** What is cut away for the eyes: the opening, widening outward from the middle of its raised lip. */
export function eyeCut(eyes: number, out: number): number {
  return eyes - Math.min(3, Math.max(0, out - 0.6)) * 0.8;
}

/** A raised lip round the opening and a drip ledge over it, whose ends hang down like the stops of a hood mould. */
export function lipAndLedge({ way, z, out }: Place, eyes: number): number {
  if (eyes > 30 || out > 30) return Math.max(eyes - 18, out - 13);
  const lip = Math.max(eyes - 6, out - 2.4);
  const middle = EYES.z - EYES.drop * way * way;
  const reach = 1.25 - 0.35 * Math.min(1, (way / 85) ** 2);
  const wedge = polygon2(out / reach, eyes, [-3, 8.4, 9, 7.4, 9.6, 9.4, -3, 17]) * 0.9;
  return Math.min(lip, Math.max(wedge, middle - 1 - z));
}

/** Outline of a cheek panel: way and height, counter-clockwise. */
const CHEEK = [35, 56, 47, 39, 60, 37, 104, 45, 125, 72, 117, 83, 36, 92] as const;
const GROOVES = { first: 12.5, apart: 11, num: 3, half: 1.7, deepTo: 0.3, inset: 7.5 } as const;

/** A raised panel with a bevelled edge and four grooves that follow its lower edge's slant. */
export function cheekAt({ way, y, z, out }: Place): number {
  if (out > 16 || z < 20 || z > 115 || y < -70) return Math.max(out - 4, 25 - z, z - 108, -60 - y);
  const inside = polygon2(way, z, CHEEK) - 2;
  const panel = Math.max(out - 2.8, (inside + out) * Math.SQRT1_2);
  const along = z - 38 - 0.2 * (way - 58) - GROOVES.first;
  const which = Math.min(GROOVES.num - 1, Math.max(0, Math.round(along / GROOVES.apart)));
  const off = Math.abs(along - which * GROOVES.apart) * 0.98 - GROOVES.half;
  const groove = Math.max(off, inside + GROOVES.inset, GROOVES.deepTo - out);
  return Math.max(panel, -groove);
}

/** The mouth: a round plate with a rim and a boss, and between them a ring of holes. */
const MOUTH = { z: 63, plate: 25, ring: 17.4, hole: 2.5, num: 12 } as const;

export function mouthAt({ ax, y, z, out }: Place): number {
  const r = Math.hypot(ax, z - MOUTH.z);
  if (y < 0 || r > 45 || out > 16) return Math.max(20 - y, r - 28, out - 6);
  const plate = Math.max(r - MOUTH.plate, out - 1.6);
  const rim = Math.hypot(r - MOUTH.plate + 0.8, out - 1) - 2.3;
  const turn = Math.atan2(ax, z - MOUTH.z);
  const star = Math.max(starAt(r, toNearestTurn(turn, 4), 13.6), starAt(r, toNearestTurn(turn + Math.PI / 4, 4), 10.5));
  return Math.min(plate, rim, (out - star) / 1.5);
}

/** Height over the plate of one of the four points of a compass star: a ridge that falls to its edges and its tip. */
function starAt(r: number, turn: number, tip: number): number {
  const along = r * Math.cos(turn);
  const aside = Math.abs(r * Math.sin(turn));
  return 1.2 + 0.95 * ((tip - along) * 0.32 - aside);
}

/** The holes, straight through along y; positive elsewhere. */
export function mouthHoles({ ax, y, z }: Place): number {
  if (y < 0) return 60;
  const r = Math.hypot(ax, z - MOUTH.z);
  if (r > 40) return r - 25;
  const aside = toNearestTurn(Math.atan2(ax, z - MOUTH.z), MOUTH.num);
  return Math.hypot(r * Math.sin(aside), r * Math.cos(aside) - MOUTH.ring) - MOUTH.hole;
}
