// The rain brim, long to the back, and the rope above it.
import type { Place } from './helm-form.ts';

/** Height of the brim's middle over a point of the plan: high in front, drooping to the sides, sloping down behind. */
export function brimZ(ax: number, y: number): number {
  const behind = y < 10 ? y - 10 : 0;
  return 164.5 + 0.03 * y - FALL.side * ax * ax - FALL.back * behind * behind;
}

/** How the brim falls away to the sides and behind, 1/mm. */
const FALL = { side: 0.0019, back: 0.0018 } as const;

/** Half width and reach of its outline. */
const OUTLINE = { side: 125, front: 139, back: 161 } as const;
const HALF_THICK = 1.5;

/** The brim with its rolled edge. Extends to the axis; the hollow cuts it off. */
export function brimAt({ ax, y, z }: Place): number {
  const far = Math.max(z - 180, 85 - z);
  if (far > 20) return far;
  const sx = -2 * FALL.side * ax;
  const sy = 0.03 - 2 * FALL.back * (y < 10 ? y - 10 : 0);
  const up = (z - brimZ(ax, y)) / Math.sqrt(1 + sx * sx + sy * sy);
  const reach = y >= 0 ? OUTLINE.front : OUTLINE.back;
  const u = ax / OUTLINE.side;
  const v = y / reach;
  const size = Math.sqrt(u * u + v * v);
  const edge = size < 0.2 ? -100 : ((size - 1) * size) / Math.hypot(u / OUTLINE.side, v / reach);
  const sheet = Math.max(Math.abs(up) - HALF_THICK, edge + 3);
  const roll = Math.hypot(edge + 3.2, up + 0.4) - 3.2;
  const welt = Math.hypot(edge + 11.5, up - 0.4) - 2.5;
  return Math.min(sheet, roll, welt);
}

/** The rope lies on the brow this far above the brim. */
const ROPE = { above: 11, out: 2.6, strandAt: 3.3, strand: 3.7, layMm: 40, far: 9 } as const;

/** Three strands laid round each other along the brow. */
export function ropeAt({ ax, y, z, round, way, out }: Place): number {
  const far = Math.max(Math.abs(out - ROPE.out), z - 190, 130 - z) - ROPE.far;
  if (far > 4) return far;
  // Height above the brim's line on the wall itself, so that the rope's section stays round where the brim slopes away.
  const foot = 1 - (out - ROPE.out) / round;
  const up = z - brimZ(ax * foot, y * foot) - ROPE.above;
  if (Math.abs(up) > 14) return Math.abs(up) - 10;
  const turn = (2 * Math.PI * way) / ROPE.layMm;
  const across = out - ROPE.out;
  let least = Infinity;
  for (let strand = 0; strand < 3; strand++) {
    const angle = turn + (strand * 2 * Math.PI) / 3;
    const du = across - ROPE.strandAt * Math.cos(angle);
    const dv = up - ROPE.strandAt * Math.sin(angle);
    least = Math.min(least, du * du + dv * dv);
  }
  return (Math.sqrt(least) - ROPE.strand) * 0.88;
}

/** Round plates over the ends of the rope: a lens in front with its rings, a plain button behind. */
export function lensAt({ ax, y, z, out }: Place): number {
  if (ax > 45) return ax - 26;
  const level = brimZ(0, y > 0 ? 117 : -118) + ROPE.above + (y > 0 ? 3 : 1.5);
  const r = Math.hypot(ax, z - level);
  if (r > 30) return r - 26;
  const size = y > 0 ? 15 : 11;
  const plate = Math.max(r - size, out - 7.2);
  const rings = Math.max(Math.abs(toRing(r)) - 1.05, r - size + 2.6, 5.6 - out);
  const boss = Math.hypot(r, out - 3) - 6.2;
  return Math.min(y > 0 ? Math.max(plate, -rings) : plate, boss);
}

/** Distance to the nearest of the grooves between a lens's rings. */
function toRing(r: number): number {
  return r < 9.5 ? r - 7.4 : r - 11.6;
}
