// How well a pose would print, before any layer is computed: cheap enough to ask for every pose of every piece.
import type { Mesh } from '../../mesh/mesh.ts';
import type { Transform } from '../../mesh/transform.ts';

export interface SupportEstimate {
  /** Space under overhangs down to the bed, mm3 (of which support fills a share). */
  readonly underMm3: number;
  /** Area that overhangs more than the limit, mm2. */
  readonly overhangMm2: number;
  /** Area that lies on the bed, mm2. */
  readonly restsMm2: number;
}

/** Sums A * |n.z| * z over the triangles whose overhang is steeper than the limit (measured from vertical).
 *  toLaid: model to laid space. Cost: O(triangles). Weak: counts to the bed even where the piece itself lies beneath, so it is
 *  an upper bound; it ranks poses, it does not price them. */
export function supportEstimate(mesh: Mesh, toLaid: Transform, overhangLimitDeg: number): SupportEstimate {
  const { positions: p, triangles: t } = mesh;
  const zx = toLaid[2]!;
  const zy = toLaid[5]!;
  const zz = toLaid[8]!;
  const shift = toLaid[11]!;
  const steep = Math.sin((overhangLimitDeg * Math.PI) / 180);
  let underMm3 = 0;
  let overhangMm2 = 0;
  let restsMm2 = 0;
  for (let i = 0; i < t.length; i += 3) {
    const a = t[i]! * 3;
    const b = t[i + 1]! * 3;
    const c = t[i + 2]! * 3;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const flat = -(nx * zx + ny * zy + nz * zz);
    if (flat <= 0) continue;
    const twice = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (flat < steep * twice) continue;
    const x = p[a]! + p[b]! + p[c]!;
    const y = p[a + 1]! + p[b + 1]! + p[c + 1]!;
    const z = p[a + 2]! + p[b + 2]! + p[c + 2]!;
    const height = (x * zx + y * zy + z * zz) / 3 + shift;
    if (height < REST_MM) {
      restsMm2 += flat / 2;
      continue;
    }
    overhangMm2 += twice / 2;
    underMm3 += (flat / 2) * height;
  }
  return { underMm3, overhangMm2, restsMm2 };
}

/** A face this near the bed counts as lying on it. */
const REST_MM = 0.15;
