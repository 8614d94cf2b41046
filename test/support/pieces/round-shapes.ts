// Spheres and double-walled domes for tests of the division.
import { type Mesh, meshOf } from '../../../src/mesh/mesh.ts';

/** A sphere about the origin: an octahedron subdivided. */
export function sphereMesh(radiusMm: number, levels: number): Mesh {
  let positions: number[] = [1, 0, 0, -1, 0, 0, 0, 1, 0, 0, -1, 0, 0, 0, 1, 0, 0, -1];
  let triangles: number[] = [0, 2, 4, 2, 1, 4, 1, 3, 4, 3, 0, 4, 2, 0, 5, 1, 2, 5, 3, 1, 5, 0, 3, 5];
  for (let level = 0; level < levels; level++) [positions, triangles] = subdivided(positions, triangles);
  return meshOf(
    Float64Array.from(positions, (v) => v * radiusMm),
    Uint32Array.from(triangles),
  );
}

function subdivided(positions: number[], triangles: number[]): [number[], number[]] {
  const middles = new Map<number, number>();
  const out: number[] = [];
  const middleOf = (a: number, b: number) => {
    const key = Math.min(a, b) * 1e6 + Math.max(a, b);
    const known = middles.get(key);
    if (known !== undefined) return known;
    const p = [0, 1, 2].map((c) => positions[a * 3 + c]! + positions[b * 3 + c]!);
    const length = Math.hypot(...p);
    positions.push(...p.map((v) => v / length));
    middles.set(key, positions.length / 3 - 1);
    return positions.length / 3 - 1;
  };
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const [x, y, z] = [middleOf(a, b), middleOf(b, c), middleOf(c, a)];
    out.push(a, x, z, b, y, x, c, z, y, x, y, z);
  }
  return [positions, out];
}

export interface DomeShape {
  readonly widthMm: number;
  readonly depthMm: number;
  readonly heightMm: number;
  readonly wallMm: number;
  /** Dents of the outside and inside alike, as a share of the size. */
  readonly bump: number;
  readonly seed: number;
}

/** A double-walled dome, open below: two surfaces of revolution-like rings joined by a rim, with gentle bumps. */
export function domeMesh(shape: DomeShape, numRound = 64, numUp = 28): Mesh {
  const positions: number[] = [];
  const ring = (inset: number, k: number) => {
    const up = (k / numUp) * (Math.PI / 2);
    for (let i = 0; i < numRound; i++) {
      const a = (i / numRound) * 2 * Math.PI;
      const wave =
        1 + shape.bump * Math.sin(3 * a + shape.seed) * Math.sin(2 * up) + shape.bump * Math.cos(5 * up + shape.seed);
      const x = (shape.widthMm / 2 - inset) * wave * Math.cos(a) * Math.cos(up);
      const y = (shape.depthMm / 2 - inset) * wave * Math.sin(a) * Math.cos(up);
      positions.push(x, y, (shape.heightMm - inset) * wave * Math.sin(up));
    }
  };
  for (const inset of [0, shape.wallMm]) for (let k = 0; k < numUp; k++) ring(inset, k);
  const apex = positions.length / 3;
  const topWave = 1 + shape.bump * Math.cos((5 * Math.PI) / 2 + shape.seed);
  positions.push(0, 0, shape.heightMm * topWave, 0, 0, (shape.heightMm - shape.wallMm) * topWave);
  const triangles: number[] = [];
  const at = (wall: number, k: number, i: number) => (wall * numUp + k) * numRound + (i % numRound);
  for (let i = 0; i < numRound; i++) {
    for (let k = 0; k + 1 < numUp; k++) {
      const [a, b, c, d] = [at(0, k, i), at(0, k, i + 1), at(0, k + 1, i + 1), at(0, k + 1, i)];
      triangles.push(a, b, c, a, c, d);
      const [e, f, g, h] = [at(1, k, i), at(1, k, i + 1), at(1, k + 1, i + 1), at(1, k + 1, i)];
      triangles.push(e, g, f, e, h, g);
    }
    triangles.push(at(0, numUp - 1, i), at(0, numUp - 1, i + 1), apex);
    triangles.push(at(1, numUp - 1, i + 1), at(1, numUp - 1, i), apex + 1);
    triangles.push(at(0, 0, i), at(1, 0, i), at(0, 0, i + 1), at(0, 0, i + 1), at(1, 0, i), at(1, 0, i + 1));
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}
