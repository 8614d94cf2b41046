import { describe, expect, it } from 'vitest';
import { selfCrossings } from '../../../src/geometry/crossings/self-crossings.ts';
import { SLIVER_DEFAULTS, tidySlivers } from '../../../src/geometry/tidy-slivers.ts';
import { box, icoSphere } from '../../../src/mesh/builders.ts';
import { surfaceArea, volume } from '../../../src/mesh/measure.ts';
import { type Mesh, numTris } from '../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../src/mesh/topology.ts';
import { transformMesh } from '../../../src/mesh/transform.ts';
import { testKernel } from '../../support/kernel.ts';
import { randomTransform } from '../../support/random-mesh.ts';

const kernel = await testKernel();
const loose = (mesh: Mesh): Uint8Array => new Uint8Array(mesh.positions.length / 3).fill(1);

/** The least edge and the least height of any triangle, mm. */
function smallest({ positions: p, triangles: t }: Mesh): { edgeMm: number; heightMm: number } {
  let [edgeMm, heightMm] = [Infinity, Infinity];
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => p.subarray(t[i + k]! * 3, t[i + k]! * 3 + 3));
    const side = (u: Float64Array, v: Float64Array): number => Math.hypot(u[0]! - v[0]!, u[1]! - v[1]!, u[2]! - v[2]!);
    const sides = [side(a!, b!), side(b!, c!), side(c!, a!)];
    const s = (sides[0]! + sides[1]! + sides[2]!) / 2;
    const area = Math.sqrt(Math.max(0, s * (s - sides[0]!) * (s - sides[1]!) * (s - sides[2]!)));
    edgeMm = Math.min(edgeMm, ...sides);
    heightMm = Math.min(heightMm, (2 * area) / Math.max(...sides));
  }
  return { edgeMm, heightMm };
}

/** A ball cut by a box that just grazes some of its vertices. */
function grazed(seed: number): Mesh {
  const ball = transformMesh(randomTransform(seed, 1), icoSphere(10, 3));
  const v = (seed * 37) % 300;
  const [x, y, z] = [0, 1, 2].map((k) => ball.positions[v * 3 + k]!) as [number, number, number];
  const near = [1e-5, 1e-4, 3e-6][seed % 3]!;
  return kernel.combine(ball, [], [box([x + near, y - 30, z - near], [x + 30, y + near, z + 30])]).mesh;
}

describe('tidySlivers', () => {
  it('leaves a sound mesh alone', () => {
    const ball = icoSphere(10, 3);
    const tidied = tidySlivers(ball, loose(ball));
    expect(numTris(tidied.mesh)).toBe(numTris(ball));
    expect(volume(tidied.mesh)).toBe(volume(ball));
    expect(tidied.left).toBe(0);
    expect([...tidied.sourceTri]).toEqual([...tidied.sourceTri.keys()]);
  });

  it('takes out what a cut close by vertices leaves; stays closed and hardly moves', () => {
    let [tidiedAny, withSpike] = [0, 0];
    for (let seed = 1; seed <= 24; seed++) {
      const mesh = grazed(seed);
      const before = smallest(mesh);
      const { mesh: after, left, sourceTri } = tidySlivers(mesh, loose(mesh));
      if (before.edgeMm < SLIVER_DEFAULTS.shortMm) tidiedAny++;
      if (left === 0) {
        expect(smallest(after).edgeMm).toBeGreaterThanOrEqual(SLIVER_DEFAULTS.shortMm);
        expect(smallest(after).heightMm).toBeGreaterThanOrEqual(SLIVER_DEFAULTS.lowMm);
        expect(selfCrossings(after).pairs).toBe(0);
      } else withSpike++;
      expect(surfaceCheck(after)).toMatchObject({ closed: true, manifold: true, shells: surfaceCheck(mesh).shells });
      expect(Math.abs(volume(after) - volume(mesh))).toBeLessThan(surfaceArea(mesh) * SLIVER_DEFAULTS.shortMm);
      expect(sourceTri.length).toBe(numTris(after));
    }
    expect(tidiedAny).toBeGreaterThan(8);
    // A spike thinner than the limit but long cannot be drawn together without pinching the surface.
    expect(withSpike).toBeLessThanOrEqual(3);
  });

  it('moves no vertex that is not loose', () => {
    const mesh = grazed(2);
    const none = tidySlivers(mesh, new Uint8Array(mesh.positions.length / 3));
    expect([...none.mesh.positions].sort()).toEqual([...mesh.positions].sort());
  });

  it('leaves and counts what cannot be joined without pinching', () => {
    const thin = box([0, 0, 0], [5, 5e-4, 5e-4]);
    const { mesh, left } = tidySlivers(thin, loose(thin));
    expect(surfaceCheck(mesh)).toMatchObject({ closed: true, manifold: true });
    expect(left).toBeGreaterThan(0);
  });
});
