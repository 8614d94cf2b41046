// Points from which patches of surface are looked at: a few on each, spread over its area.
import { randomStream } from '../base/random.ts';
import { closestOfTriangle } from '../mesh/closest-point.ts';
import { type Mesh, NONE, numTris, type Vec3 } from '../mesh/mesh.ts';
import type { SurfaceSamples } from './surface-patches.ts';

export interface PatchPoints {
  /** perPatch x num x 3, those of a patch together; mm. */
  readonly points: Float64Array;
  /** As points: unit normals of the triangles they lie on. */
  readonly normals: Float64Array;
}

/** `perPatch` points on every patch, each at random in a triangle drawn by area. Where triangles are wider than a patch, the point of such a
 *  triangle nearest to the middle of the patch is taken instead. Cost: O(numTris x perPatch). Same seed, same points. */
export function patchPoints(mesh: Mesh, samples: SurfaceSamples, perPatch: number, seed: number): PatchPoints {
  const random = randomStream(seed);
  const chosen = drawnTriangles(mesh, samples, perPatch, random);
  const points = new Float64Array(chosen.length * 3);
  const normals = new Float64Array(chosen.length * 3);
  const frame = new Float64Array(5);
  for (let i = 0; i < chosen.length; i++) {
    const sample = (i / perPatch) | 0;
    const isWide = chosen[i] === NONE;
    const tri = isWide ? samples.sampleTri[sample]! : chosen[i]!;
    measureTriangle(mesh, tri, frame);
    normals.set(frame.subarray(0, 3), i * 3);
    if (isWide) points.set(closestOfTriangle(mesh, tri, middleOf(samples, sample)), i * 3);
    else placeInTriangle(mesh, tri, points.subarray(i * 3, i * 3 + 3), random);
  }
  return { points, normals };
}

/** perPatch triangles of each patch, NONE where it has only wider ones. */
function drawnTriangles(mesh: Mesh, samples: SurfaceSamples, perPatch: number, random: () => number): Int32Array {
  const chosen = new Int32Array(samples.num * perPatch).fill(NONE);
  const before = new Float64Array(samples.num);
  const frame = new Float64Array(5);
  for (let tri = 0; tri < numTris(mesh); tri++) {
    measureTriangle(mesh, tri, frame);
    const area = frame[3]!;
    if (!(area > 0) || frame[4]! > samples.spacingMm) continue;
    const sample = samples.triSample[tri]!;
    before[sample] = before[sample]! + area;
    const share = area / before[sample]!;
    for (let k = 0; k < perPatch; k++) if (random() < share) chosen[sample * perPatch + k] = tri;
  }
  return chosen;
}

function middleOf({ middles }: SurfaceSamples, sample: number): Vec3 {
  return [middles[sample * 3]!, middles[sample * 3 + 1]!, middles[sample * 3 + 2]!];
}

function placeInTriangle(
  { positions: p, triangles: t }: Mesh,
  tri: number,
  out: Float64Array,
  random: () => number,
): void {
  const root = Math.sqrt(random());
  const second = root * random();
  const [a, b, c] = [t[tri * 3]! * 3, t[tri * 3 + 1]! * 3, t[tri * 3 + 2]! * 3];
  for (let k = 0; k < 3; k++) out[k] = (1 - root) * p[a + k]! + second * p[b + k]! + (root - second) * p[c + k]!;
}

/** Leaves the unit normal in out 0 to 2, the area in 3 and the longest side in 4. */
function measureTriangle({ positions: p, triangles: t }: Mesh, tri: number, out: Float64Array): void {
  const a = t[tri * 3]! * 3;
  const b = t[tri * 3 + 1]! * 3;
  const c = t[tri * 3 + 2]! * 3;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const twice = Math.sqrt(nx * nx + ny * ny + nz * nz);
  const scale = twice > 0 ? 1 / twice : 0;
  out[0] = nx * scale;
  out[1] = ny * scale;
  out[2] = nz * scale;
  out[3] = twice / 2;
  const uv = (ux - vx) ** 2 + (uy - vy) ** 2 + (uz - vz) ** 2;
  out[4] = Math.sqrt(Math.max(ux * ux + uy * uy + uz * uz, vx * vx + vy * vy + vz * vz, uv));
}
