// Points from which patches of surface are looked at: a few on each, spread over its area.
import { randomStream } from '../base/random.ts';
import { type Mesh, NONE, numTris } from '../mesh/mesh.ts';
import type { SurfaceSamples } from './surface-patches.ts';

export interface PatchPoints {
  /** perPatch x num x 3, those of a patch together; mm. */
  readonly points: Float64Array;
  /** As points: unit normals of the triangles they lie on. */
  readonly normals: Float64Array;
}

/** `perPatch` points on every patch, each at random in a triangle drawn by area. Where triangles are wider than a patch the middle of
 *  the patch is taken instead, with the normal of the patch. Cost: O(numTris x perPatch). Same seed, same points. */
export function patchPoints(mesh: Mesh, samples: SurfaceSamples, perPatch: number, seed: number): PatchPoints {
  const random = randomStream(seed);
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
  const points = new Float64Array(chosen.length * 3);
  const normals = new Float64Array(chosen.length * 3);
  for (let i = 0; i < chosen.length; i++) {
    const tri = chosen[i]!;
    const sample = (i / perPatch) | 0;
    if (tri === NONE) {
      for (let c = 0; c < 3; c++) {
        points[i * 3 + c] = samples.middles[sample * 3 + c]!;
        normals[i * 3 + c] = samples.normals[sample * 3 + c]!;
      }
      continue;
    }
    measureTriangle(mesh, tri, frame);
    const root = Math.sqrt(random());
    const weights = [1 - root, root * random(), 0];
    weights[2] = 1 - weights[0]! - weights[1]!;
    for (let c = 0; c < 3; c++) {
      normals[i * 3 + c] = frame[c]!;
      for (let corner = 0; corner < 3; corner++) {
        const at = mesh.triangles[tri * 3 + corner]! * 3 + c;
        points[i * 3 + c] = points[i * 3 + c]! + weights[corner]! * mesh.positions[at]!;
      }
    }
  }
  return { points, normals };
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
