// Whether a cut that leaves its plane can be pulled apart along the normal, and how steep its face is.
import { orient2d } from 'robust-predicates';
import type { Vec3 } from '../mesh/mesh.ts';
import type { MeshPart } from './plane-split.ts';

export interface FaceSlope {
  /** Tangent of the angle between the steepest triangle of the face and the plane; infinite when one stands upright or turns over. */
  readonly steepest: number;
  readonly areaMm2: number;
  /** Middles of the triangles steeper than allowed, xyz interleaved. */
  readonly tooSteep: readonly number[];
}

/** How steeply the cut face marked `mark` in the part below a cut leaves the plane square to the unit `normal`. A face all of whose
 *  triangles look along the normal, over an outline that does not cross itself, is one height over each point of the plane: the two
 *  sides come apart along the normal without touching again. Triangles of less than `leastMm2` are rounding and not looked at.
 *  Cost: O(triangles). */
export function faceSlope(
  below: MeshPart,
  mark: number,
  by: { readonly normal: Vec3; readonly leastMm2: number; readonly mostSlope: number },
): FaceSlope {
  const { positions: p, triangles: t } = below.mesh;
  let steepest = 0;
  let areaMm2 = 0;
  const tooSteep: number[] = [];
  for (let tri = 0; tri < below.sourceTri.length; tri++) {
    if (below.sourceTri[tri] !== mark) continue;
    const [a, b, c] = [t[tri * 3]! * 3, t[tri * 3 + 1]! * 3, t[tri * 3 + 2]! * 3];
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const whole = Math.hypot(x, y, z);
    areaMm2 += whole / 2;
    if (whole < 2 * by.leastMm2) continue;
    const along = x * by.normal[0] + y * by.normal[1] + z * by.normal[2];
    const slope = along <= 0 ? Infinity : Math.sqrt(Math.max(0, (whole / along) ** 2 - 1));
    steepest = Math.max(steepest, slope);
    if (slope > by.mostSlope) for (let k = 0; k < 3; k++) tooSteep.push((p[a + k]! + p[b + k]! + p[c + k]!) / 3);
  }
  return { steepest, areaMm2, tooSteep };
}

/** Where sides of closed outlines (2 x n numbers each) cross each other: the middle of one of every such pair, 2 numbers each. Sides that
 *  only share a corner do not count. Exact signs. Cost: O(n + pairs) on a grid of the mean side's length. */
export function outlineCrossings(loops: readonly Float64Array[]): number[] {
  const sides = sidesOf(loops);
  const num = sides.length / 4;
  if (num === 0) return [];
  let length = 0;
  for (let i = 0; i < sides.length; i += 4)
    length += Math.hypot(sides[i + 2]! - sides[i]!, sides[i + 3]! - sides[i + 1]!);
  const cell = Math.max(length / num, Number.MIN_VALUE) * 2;
  const inCell = new Map<string, number[]>();
  const crossings: number[] = [];
  const lastMet = new Int32Array(num).fill(-1);
  for (let i = 0; i < num; i++) {
    const [x0, x1] = cellsOf(sides[i * 4]!, sides[i * 4 + 2]!, cell);
    const [y0, y1] = cellsOf(sides[i * 4 + 1]!, sides[i * 4 + 3]!, cell);
    for (let x = x0; x <= x1; x++) {
      for (let y = y0; y <= y1; y++) {
        const key = `${x},${y}`;
        const list = inCell.get(key);
        if (list === undefined) {
          inCell.set(key, [i]);
          continue;
        }
        for (const j of list) {
          if (lastMet[j] === i) continue;
          lastMet[j] = i;
          if (!isCrossing(sides, i * 4, j * 4)) continue;
          crossings.push((sides[i * 4]! + sides[i * 4 + 2]!) / 2, (sides[i * 4 + 1]! + sides[i * 4 + 3]!) / 2);
        }
        list.push(i);
      }
    }
  }
  return crossings;
}

function sidesOf(loops: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(loops.reduce((sum, loop) => sum + loop.length * 2, 0));
  let filled = 0;
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i += 2) {
      const next = (i + 2) % loop.length;
      for (const value of [loop[i]!, loop[i + 1]!, loop[next]!, loop[next + 1]!]) out[filled++] = value;
    }
  }
  return out;
}

function cellsOf(a: number, b: number, cell: number): [number, number] {
  return [Math.floor(Math.min(a, b) / cell), Math.floor(Math.max(a, b) / cell)];
}

/** Whether each side has the ends of the other strictly on either hand. */
function isCrossing(s: Float64Array, i: number, j: number): boolean {
  const [ax, ay, bx, by] = [s[i]!, s[i + 1]!, s[i + 2]!, s[i + 3]!];
  const [cx, cy, dx, dy] = [s[j]!, s[j + 1]!, s[j + 2]!, s[j + 3]!];
  const c = orient2d(ax, ay, bx, by, cx, cy);
  const d = orient2d(ax, ay, bx, by, dx, dy);
  if (c === 0 || d === 0 || c > 0 === d > 0) return false;
  const a = orient2d(cx, cy, dx, dy, ax, ay);
  const b = orient2d(cx, cy, dx, dy, bx, by);
  return a !== 0 && b !== 0 && a > 0 !== b > 0;
}
