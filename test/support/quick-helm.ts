// A plain double-walled dome, open below: the smallest thing that is divided, laid and timed like a helm, for fast tests.
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';

export interface QuickHelm {
  readonly radiiMm: readonly [number, number, number];
  readonly wallMm: number;
  readonly rings: number;
  readonly around: number;
}

export const QUICK_HELM: QuickHelm = { radiiMm: [115, 140, 150], wallMm: 3, rings: 24, around: 60 };

/** One closed shell of genus 0: outside from the top down past the equator, round the rim, inside back up. Upright, mm. */
export function quickHelm(options: Partial<QuickHelm> = {}): Mesh {
  const { radiiMm, wallMm, rings, around } = { ...QUICK_HELM, ...options };
  const positions: number[] = [];
  const triangles: number[] = [];
  const lowest = 0.72 * Math.PI;
  const wall = (grow: number): { top: number; ring: (i: number, k: number) => number } => {
    const top = positions.length / 3;
    const [a, b, c] = radiiMm.map((radius) => radius + grow) as [number, number, number];
    positions.push(0, 0, c);
    for (let i = 1; i <= rings; i++) {
      const polar = (lowest * i) / rings;
      for (let k = 0; k < around; k++) {
        const turn = (2 * Math.PI * k) / around;
        positions.push(a * Math.sin(polar) * Math.cos(turn), b * Math.sin(polar) * Math.sin(turn), c * Math.cos(polar));
      }
    }
    return { top, ring: (i, k) => top + 1 + (i - 1) * around + (k % around) };
  };
  const outer = wall(0);
  const inner = wall(-wallMm);
  const quad = (p: number, q: number, r: number, s: number): void => {
    triangles.push(p, q, r, p, r, s);
  };
  for (let k = 0; k < around; k++) {
    triangles.push(outer.top, outer.ring(1, k), outer.ring(1, k + 1));
    triangles.push(inner.top, inner.ring(1, k + 1), inner.ring(1, k));
    for (let i = 1; i < rings; i++) {
      quad(outer.ring(i, k), outer.ring(i + 1, k), outer.ring(i + 1, k + 1), outer.ring(i, k + 1));
      quad(inner.ring(i, k), inner.ring(i, k + 1), inner.ring(i + 1, k + 1), inner.ring(i + 1, k));
    }
    quad(outer.ring(rings, k), inner.ring(rings, k), inner.ring(rings, k + 1), outer.ring(rings, k + 1));
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}
