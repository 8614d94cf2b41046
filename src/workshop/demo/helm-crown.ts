// The crown that recalls a lantern room: glazing ribs, a gallery, a little lantern with panes, and a weather vane.
import { bar2, commonRounded, joined, polygon2, roundedRectangle, toNearestTurn } from './field.ts';
import { brimZ } from './helm-brim.ts';
import { LANTERN, type Place } from './helm-form.ts';

const RIBS = 16;

/** Ribs from the rope to the gallery, and two hoops that cross them. */
export function ribsAt(place: Place): number {
  const { ax, y, z, round, out } = place;
  if (out > 14 || z < 130) return Math.max(out - 5, 140 - z);
  const turn = Math.atan2(ax * 1.175, y);
  const aside = Math.abs(toNearestTurn(turn, RIBS)) * round;
  const slim = 1.9 + 1.6 * Math.min(1, round / 110);
  const rib = Math.max(aside - slim, out - 4.2);
  const low = brimZ(ax, y) + 8 - z;
  return Math.min(Math.max(rib, low, 27 - round), hoopsAt(place));
}

/** Hoops at two heights: where on the dome, and how far its slope looks up there (vertical part of the unit normal). */
const HOOPS = [
  { z: 205, up: 0.5 },
  { z: 228, up: 0.82 },
] as const;

function hoopsAt({ z, out }: Place): number {
  let least = Infinity;
  for (const hoop of HOOPS) {
    const along = Math.abs(z - hoop.z - out * hoop.up) / Math.sqrt(1 - hoop.up ** 2);
    least = Math.min(least, Math.max(along - 2, out - 2.8));
  }
  return least;
}

/** Gallery, panes and eaves of the lantern; and everything that stands on its roof. */
export function lanternTrimAt(place: Place): number {
  const { ax, y, z, round } = place;
  const far = Math.max(236 - z, round - 52);
  if (far > 12) return far;
  const turn = Math.atan2(ax, y);
  const trim = Math.min(galleryAt(round, z, turn), eavesAt(round, z, turn));
  return Math.min(trim, vaneAt(ax, y, z));
}

/** A floor with a parapet round it and a post on the parapet over every rib. */
function galleryAt(round: number, z: number, turn: number): number {
  const floor = roundedRectangle(round - 33, z - 247.6, { halfX: 9.5, halfY: 3, round: 1 });
  const parapet = roundedRectangle(round - 41, z - 251, { halfX: 1.7, halfY: 5, round: 0.8 });
  const aside = toNearestTurn(turn, RIBS) * round;
  const post = Math.hypot(aside, round - 41, (z - 256.6) * 0.9) - 2.6;
  return Math.min(floor, parapet, post);
}

/** Glazing bars on the drum, and a roof edge that stands out over them. */
function eavesAt(round: number, z: number, turn: number): number {
  const { radius, roofZ } = LANTERN;
  const aside = Math.abs(toNearestTurn(turn, RIBS)) * round;
  const bars = Math.max(Math.max(aside - 1.6, round - radius - 2.2), z - roofZ, 245 - z);
  const eaves = roundedRectangle(round - radius + 3, z - roofZ - 0.6, { halfX: 8, halfY: 1.7, round: 1 });
  const seam = Math.max(Math.hypot(aside, roofAbove(round, z)) - 1.3, 8 - round, round - radius);
  return Math.min(bars, eaves, seam);
}

/** Height above the lantern's roof. */
function roofAbove(round: number, z: number): number {
  const { radius, roofZ, tipZ } = LANTERN;
  const rise = tipZ - roofZ;
  return ((z - roofZ) * radius + (round - radius) * rise) / Math.hypot(radius, rise);
}

const VANE_Z = 301;

/** A mast with a ball, and an arrow with a split tail that points forward. Symmetric about x = 0; nowhere thinner than 3 mm. */
function vaneAt(ax: number, y: number, z: number): number {
  const round = Math.hypot(ax, y);
  const mast = Math.max(round - 2.1, z - 307, 270 - z);
  const foot = Math.max(Math.hypot(round, (z - 280) * 0.8) - 7, 270 - z);
  const ball = Math.hypot(round, z - 289.5) - 4.4;
  const top = Math.hypot(round, z - 307.2) - 2.8;
  const post = joined(joined(mast, foot, 3), Math.min(ball, top), 1.2);
  const h = Math.abs(z - VANE_Z);
  if (Math.abs(y) > 60 || h > 20) return Math.min(post, Math.max(Math.abs(y) - 45, h - 10));
  const shaft = Math.hypot(ax, bar2(y, h, [-32, 0, 24, 0], 0)) - 1.9;
  const head = commonRounded(polygon2(y, h, [19, -6, 38, -0.2, 38, 0.2, 19, 7.5]), ax - 1.7, 1);
  const tail = commonRounded(polygon2(y, h, [-34, -0.5, -19, -0.5, -25, 7, -41, 8.5]), ax - 1.7, 1);
  return joined(post, joined(shaft, Math.min(head, tail), 1), 1.2);
}
