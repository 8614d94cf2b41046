// The steps that layers leave on a surface: how high each stands out, and how wide its tread is.
import type { Mesh } from '../mesh/mesh.ts';

/** One for each triangle, offsets as in `triangles` / 3. */
export interface LayerSteps {
  /** Height of the ridge between two treads over the surface meant, mm: layer x |n_z|; 0 on a wall, a whole layer on a level face. */
  readonly cuspMm: Float32Array;
  /** Width of a tread seen from above, mm: layer / tan(slope from level); 0 on a wall, Infinity on a level face. */
  readonly terraceMm: Float32Array;
  readonly areaMm2: Float32Array;
}

/** Space: laid, mm, layers along z. Cost: one pass. Source: cusp height, Dolenc and Makela 1994; docs/methods/layer-steps.md.
 *  Weak: the round edge of a line and what sags under an overhang are not in it. */
export function layerSteps({ positions: p, triangles }: Mesh, layerMm: number): LayerSteps {
  const num = triangles.length / 3;
  const [cuspMm, terraceMm, areaMm2] = [new Float32Array(num), new Float32Array(num), new Float32Array(num)];
  for (let t = 0; t < num; t++) {
    const [a, b, c] = [triangles[t * 3]! * 3, triangles[t * 3 + 1]! * 3, triangles[t * 3 + 2]! * 3];
    const [ex, ey, ez] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [fx, fy, fz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const [nx, ny, nz] = [ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx];
    const level = Math.hypot(nx, ny);
    const twice = Math.hypot(level, nz);
    areaMm2[t] = twice / 2;
    if (twice === 0) continue;
    cuspMm[t] = (layerMm * Math.abs(nz)) / twice;
    terraceMm[t] = (layerMm * Math.abs(nz)) / level;
  }
  return { cuspMm, terraceMm, areaMm2 };
}
