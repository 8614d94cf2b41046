// The words in which the demo shapes are said: distances to simple bodies, and ways to join and cut them. All mm, negative inside.

/** Union with a fillet of about `k` mm; exact where the two surfaces are farther apart than k. */
export function joined(a: number, b: number, k: number): number {
  const h = k - Math.abs(a - b);
  return (a < b ? a : b) - (h > 0 ? (h * h) / (4 * k) : 0);
}

/** Common part with its edge rounded by about `k` mm. */
export function commonRounded(a: number, b: number, k: number): number {
  return -joined(-a, -b, k);
}

/** Rectangle about the origin with rounded corners. */
export function roundedRectangle(x: number, y: number, of: { halfX: number; halfY: number; round: number }): number {
  const qx = Math.abs(x) - of.halfX + of.round;
  const qy = Math.abs(y) - of.halfY + of.round;
  const out = Math.hypot(qx > 0 ? qx : 0, qy > 0 ? qy : 0);
  return out + Math.min(0, Math.max(qx, qy)) - of.round;
}

/** A bar between two points with round ends. Points: ax ay bx by. */
export function bar2(x: number, y: number, ends: readonly [number, number, number, number], radius: number): number {
  const [ax, ay, bx, by] = ends;
  const dx = bx - ax;
  const dy = by - ay;
  const t = clamp01(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy));
  return Math.hypot(x - ax - t * dx, y - ay - t * dy) - radius;
}

/** A convex outline, corners in turn (x y ...), counter-clockwise; exact outside too. */
export function polygon2(x: number, y: number, corners: readonly number[]): number {
  let inside = true;
  let least = Infinity;
  const n = corners.length;
  for (let i = 0; i < n; i += 2) {
    const ax = corners[i]!;
    const ay = corners[i + 1]!;
    const dx = corners[(i + 2) % n]! - ax;
    const dy = corners[(i + 3) % n]! - ay;
    const px = x - ax;
    const py = y - ay;
    const t = clamp01((px * dx + py * dy) / (dx * dx + dy * dy));
    const ox = px - t * dx;
    const oy = py - t * dy;
    least = Math.min(least, ox * ox + oy * oy);
    if (dx * py - dy * px < 0) inside = false;
  }
  return inside ? -Math.sqrt(least) : Math.sqrt(least);
}

/** Distance along a turn to the nearest of `count` even places, as an angle in -pi/count .. pi/count. The first is at angle 0. */
export function toNearestTurn(angleRad: number, count: number): number {
  const step = (2 * Math.PI) / count;
  return angleRad - step * Math.round(angleRad / step);
}

export function clamp01(t: number): number {
  return t < 0 ? 0 : t > 1 ? 1 : t;
}

/** 0 below `from`, 1 above `to`, smooth between. */
export function ramp(from: number, to: number, x: number): number {
  const t = clamp01((x - from) / (to - from));
  return t * t * (3 - 2 * t);
}
