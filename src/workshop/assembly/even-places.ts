// Places evenly along the line of a seam on the outside: where strips of tape go.
import type { Vec3 } from '../../mesh/mesh.ts';
import type { SeamLine } from '../process/pieces-record.ts';

/** `num` places, the first and the last at the ends of the line; round a closed one none twice. Several stretches are taken one after the
 *  other. Cost: O(points). */
export function evenPlaces(lines: readonly Pick<SeamLine, 'points'>[], num: number): Vec3[] {
  const whole = lines.reduce((sum, line) => sum + lengthOf(line.points), 0);
  if (whole === 0 || num < 1) return [];
  const isClosed = lines.length === 1 && isLoop(lines[0]!.points);
  const step = whole / (isClosed ? num : Math.max(1, num - 1));
  const out: Vec3[] = [];
  let passed = 0;
  let last: Vec3 | null = null;
  for (const { points } of lines) {
    for (let i = 0; i + 5 < points.length; i += 3) {
      const length = sideLength(points, i);
      for (; out.length < num && out.length * step <= passed + length; )
        out.push(between(points, i, length === 0 ? 0 : (out.length * step - passed) / length));
      passed += length;
      last = between(points, i, 1);
    }
  }
  // the end of the last side, when rounding has put it a hair beyond
  while (out.length < num && last !== null) out.push(last);
  return out;
}

function lengthOf(points: Float32Array): number {
  let sum = 0;
  for (let i = 0; i + 5 < points.length; i += 3) sum += sideLength(points, i);
  return sum;
}

function sideLength(p: Float32Array, i: number): number {
  return Math.hypot(p[i + 3]! - p[i]!, p[i + 4]! - p[i + 1]!, p[i + 5]! - p[i + 2]!);
}

function between(p: Float32Array, i: number, share: number): Vec3 {
  const at = (c: number): number => p[i + c]! + share * (p[i + 3 + c]! - p[i + c]!);
  return [at(0), at(1), at(2)];
}

function isLoop(p: Float32Array): boolean {
  const end = p.length - 3;
  return end > 3 && Math.hypot(p[end]! - p[0]!, p[end + 1]! - p[1]!, p[end + 2]! - p[2]!) < 1e-3;
}
