// How firmly a body stands on its foot: how far it may be leaned before it tips, and how wide the foot is spread.
import type { Vec3 } from '../mesh/mesh.ts';
import { convexOutline } from './min-rectangle.ts';

export interface FootStand {
  /** About the nearest edge of the foot's hull, until the centre of mass stands over that edge; below 0 where it stands outside already,
   *  -90 without a foot. */
  readonly tipDeg: number;
  /** Area of the foot's hull, mm2. */
  readonly hullMm2: number;
}

/** `foot`: points seen from above, n x 2. Space: laid, the bed z = 0. Cost: O(n log n). */
export function footStand(foot: Float64Array, centre: Vec3): FootStand {
  const outline = convexOutline(foot);
  const num = outline.length / 2;
  if (num < 3) return { tipDeg: -90, hullMm2: 0 };
  const [x, y, z] = centre;
  let insideMm = Infinity;
  let twice = 0;
  for (let i = 0; i < num; i++) {
    const j = (i + 1) % num;
    const ex = outline[j * 2]! - outline[i * 2]!;
    const ey = outline[j * 2 + 1]! - outline[i * 2 + 1]!;
    // twice the area of the triangle over this edge, its tip the centre
    const over = ex * (y - outline[i * 2 + 1]!) - ey * (x - outline[i * 2]!);
    insideMm = Math.min(insideMm, over / Math.hypot(ex, ey));
    twice += over;
  }
  return { tipDeg: (Math.atan2(insideMm, Math.max(z, 1e-9)) * 180) / Math.PI, hullMm2: twice / 2 };
}
