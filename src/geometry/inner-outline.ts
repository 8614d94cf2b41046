// The outline of a hollow in one flat section of a shell, and how long a tape laid round its inside is.
import { convexOutline } from './min-rectangle.ts';
import type { PlaneSection } from './plane-section.ts';

export interface InnerOutline {
  /** 2 x n, convex, counter-clockwise, mm, in the coordinates of the section's loops. */
  readonly tape: Float64Array;
  /** Length of that outline: what a tape reads that bridges dents. */
  readonly lengthMm: number;
  /** Closed: one hole of the section. Cut: the ring is open there (an eye opening), the inside of what stands was taken. */
  readonly ring: 'closed' | 'cut';
}

/** The largest hole of the section, when it makes up most of what the section spans; null otherwise. Cost: O(n log n). */
export function closedInnerOutline(section: PlaneSection): InnerOutline | null {
  let hole: Float64Array | null = null;
  let most = 0;
  for (const loop of section.loops) {
    const area = -signedArea(loop);
    if (area > most) {
      most = area;
      hole = loop;
    }
  }
  if (hole === null || most < MOST_OF * spannedArea(section)) return null;
  return { ...tapeRound(hole), ring: 'closed' };
}

/** A hole counts when it covers this share of the hull of the whole section: smaller ones are tubes, not the hollow. */
const MOST_OF = 0.4;

/** As above where the ring is closed; where it is cut, the hull of what is seen from the middle of the hull in `numRays` even
 *  directions. Null when the middle lies in the solid or fewer than half of all directions meet the wall. Cost: O(numRays x n). */
export function innerOutline(section: PlaneSection, numRays = 360): InnerOutline | null {
  const closed = closedInnerOutline(section);
  if (closed !== null || section.loops.length === 0) return closed;
  const middle = middleOfHull(section);
  if (isInside(section, middle[0], middle[1])) return null;
  const seen: number[] = [];
  for (let ray = 0; ray < numRays; ray++) {
    const angle = (2 * Math.PI * (ray + 0.5)) / numRays;
    const direction: readonly [number, number] = [Math.cos(angle), Math.sin(angle)];
    const t = firstCrossing(section, middle, direction);
    if (t < Infinity) seen.push(middle[0] + t * direction[0], middle[1] + t * direction[1]);
  }
  // two numbers a point
  if (seen.length < numRays) return null;
  return { ...tapeRound(Float64Array.from(seen)), ring: 'cut' };
}

function tapeRound(points: Float64Array): { tape: Float64Array; lengthMm: number } {
  const tape = convexOutline(points);
  return { tape, lengthMm: outlineLength(tape) };
}

/** Length of a closed outline, 2 x n, mm. */
export function outlineLength(outline: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < outline.length; i += 2) {
    const j = (i + 2) % outline.length;
    sum += Math.hypot(outline[j]! - outline[i]!, outline[j + 1]! - outline[i + 1]!);
  }
  return sum;
}

function signedArea(loop: Float64Array): number {
  let twice = 0;
  for (let i = 0; i < loop.length; i += 2) {
    const j = (i + 2) % loop.length;
    twice += loop[i]! * loop[j + 1]! - loop[j]! * loop[i + 1]!;
  }
  return twice / 2;
}

function allPoints(section: PlaneSection): Float64Array {
  return Float64Array.from(section.loops.flatMap((loop) => Array.from(loop)));
}

function spannedArea(section: PlaneSection): number {
  return signedArea(convexOutline(allPoints(section)));
}

function middleOfHull(section: PlaneSection): readonly [number, number] {
  const hull = convexOutline(allPoints(section));
  let [x, y, twice] = [0, 0, 0];
  for (let i = 0; i < hull.length; i += 2) {
    const j = (i + 2) % hull.length;
    const w = hull[i]! * hull[j + 1]! - hull[j]! * hull[i + 1]!;
    x += (hull[i]! + hull[j]!) * w;
    y += (hull[i + 1]! + hull[j + 1]!) * w;
    twice += w;
  }
  return twice === 0 ? [hull[0] ?? 0, hull[1] ?? 0] : [x / (3 * twice), y / (3 * twice)];
}

function isInside(section: PlaneSection, x: number, y: number): boolean {
  let inside = false;
  for (const loop of section.loops) {
    for (let i = 0; i < loop.length; i += 2) {
      const j = (i + 2) % loop.length;
      if (loop[i + 1]! > y === loop[j + 1]! > y) continue;
      const at = loop[i]! + ((y - loop[i + 1]!) * (loop[j]! - loop[i]!)) / (loop[j + 1]! - loop[i + 1]!);
      if (x < at) inside = !inside;
    }
  }
  return inside;
}

function firstCrossing(section: PlaneSection, from: readonly [number, number], way: readonly [number, number]): number {
  let first = Infinity;
  for (const loop of section.loops) {
    for (let i = 0; i < loop.length; i += 2) {
      const j = (i + 2) % loop.length;
      const ax = loop[i]! - from[0];
      const ay = loop[i + 1]! - from[1];
      const dx = loop[j]! - loop[i]!;
      const dy = loop[j + 1]! - loop[i + 1]!;
      const across = way[0] * dy - way[1] * dx;
      if (across === 0) continue;
      const t = (ax * dy - ay * dx) / across;
      const s = (ax * way[1] - ay * way[0]) / across;
      if (t > 0 && t < first && s >= 0 && s <= 1) first = t;
    }
  }
  return first;
}
