// Laws of welding and of the surface: order does not matter, and angles know the number of handles.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { bowl, box, cone, cylinder, hollowBall, icoSphere, torus, tube } from '../../src/mesh/builders.ts';
import { meshDigest } from '../../src/mesh/digest.ts';
import { halfEdges } from '../../src/mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts } from '../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../src/mesh/topology.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { weldMesh, weldSoup } from '../../src/mesh/weld.ts';
import { bumpyBall, randomSoup, randomTransform, shuffled, soupOf } from '../support/random-mesh.ts';

const SEED = 90125;
const seeds = fc.integer({ min: 1, max: 2 ** 30 });
const check = (runs: number, law: (seed: number) => void): void => {
  fc.assert(fc.property(seeds, law), { seed: SEED, numRuns: runs });
};

describe(`weld, seed ${SEED}`, () => {
  it('gives back every corner of every triangle it keeps, and each place once', () => {
    check(60, (seed) => {
      const soup = coarse(soupOf(randomSoup(seed, 60)), seed);
      const { mesh, dropped } = weldSoup(soup);
      expect(mesh.triangles.length / 3 + dropped).toBe(60);
      const kept: number[] = [];
      for (let t = 0; t < 60; t++) {
        const places = new Set([0, 1, 2].map((c) => soup.slice(t * 9 + c * 3, t * 9 + c * 3 + 3).join()));
        if (places.size === 3) kept.push(...soup.slice(t * 9, t * 9 + 9));
      }
      expect(Array.from(soupOf(mesh))).toEqual(kept.map((v) => v + 0));
      const places = new Set<string>();
      for (let v = 0; v < numVerts(mesh); v++) places.add(mesh.positions.slice(v * 3, v * 3 + 3).join());
      expect(places.size).toBe(numVerts(mesh));
    });
  });

  it('welding twice is welding once, and single and double precision agree', () => {
    check(30, (seed) => {
      const single = Float32Array.from(coarse(soupOf(randomSoup(seed, 80)), seed));
      const once = weldSoup(single).mesh;
      expect(weldMesh(once)).toEqual({ mesh: once, dropped: 0 });
      expect(weldSoup(Float64Array.from(single)).mesh).toEqual(once);
    });
  });

  it('makes the same surface of shuffled triangles', () => {
    check(15, (seed) => {
      const mesh = bumpyBall(seed, 2);
      const welded = weldSoup(soupOf(shuffled(mesh, seed))).mesh;
      const [a, b] = [meshDigest(mesh), meshDigest(welded)];
      expect({ ...b, volumeMm3: 0, areaMm2: 0 }).toEqual({ ...a, volumeMm3: 0, areaMm2: 0 });
      expect(Math.abs(b.volumeMm3 / a.volumeMm3 - 1) + Math.abs(b.areaMm2 / a.areaMm2 - 1)).toBeLessThan(1e-12);
    });
  });
});

describe(`half-edges, seed ${SEED}`, () => {
  it('agree with a count of faces per pair of vertices', () => {
    check(60, (seed) => {
      const mesh = tangled(seed);
      const found = halfEdges(mesh);
      const faces = new Map<string, number[]>();
      const key = (h: number): [number, number] => [mesh.triangles[h]!, mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]!];
      for (let h = 0; h < mesh.triangles.length; h++) {
        const name = key(h)
          .sort((a, b) => a - b)
          .join();
        faces.set(name, [...(faces.get(name) ?? []), h]);
      }
      const expected = { edges: faces.size, openEdges: 0, crowdedEdges: 0, clashingEdges: 0 };
      const twins = new Int32Array(mesh.triangles.length).fill(NONE);
      for (const [h, other, third] of faces.values()) {
        if (other === undefined) expected.openEdges++;
        else if (third !== undefined) expected.crowdedEdges++;
        else if (key(h!)[0] === key(other)[0]) expected.clashingEdges++;
        else [twins[h!], twins[other]] = [other, h!];
      }
      expect(found).toEqual({ ...expected, twins });
    });
  });
});

describe(`closed surfaces, seed ${SEED}`, () => {
  const shapes: readonly (readonly [string, Mesh])[] = [
    ['box', box([0, 0, 0], [1, 2, 3])],
    ['ball', icoSphere(2, 3)],
    ['bumpy ball', bumpyBall(SEED, 3)],
    ['cylinder', cylinder(2, 3, 17)],
    ['cone', cone(2, 3, 17)],
    ['torus', torus({ majorMm: 5, minorMm: 2 }, 23, 11)],
    ['tube', tube({ outerMm: 5, wallMm: 1, heightMm: 4 }, 19, 3)],
    ['bowl', bowl({ outerMm: 9, wallMm: 1 }, 5)],
    ['hollow ball', hollowBall({ outerMm: 9, wallMm: 1 }, 2)],
  ];

  it.each(shapes)('%s: angles missing from full turns sum to 2 pi times euler (Gauss-Bonnet)', (_, mesh) => {
    const { euler } = surfaceCheck(mesh);
    expect(angleDeficit(mesh)).toBeCloseTo(2 * Math.PI * euler, 9);
  });

  it.each(shapes)('%s: turned, scaled and shifted, it has the same shape, area by s2 and volume by s3', (_, mesh) => {
    check(5, (seed) => {
      const scale = 0.01 + (seed % 1000);
      const [a, b] = [meshDigest(mesh), meshDigest(transformMesh(randomTransform(seed, scale), mesh))];
      expect([b.shells, b.genus, b.closed]).toEqual([a.shells, a.genus, a.closed]);
      expect(Math.abs(b.areaMm2 / (a.areaMm2 * scale ** 2) - 1)).toBeLessThan(1e-12);
      expect(Math.abs(b.volumeMm3 / (a.volumeMm3 * scale ** 3) - 1)).toBeLessThan(1e-12);
    });
  });
});

/** Coordinates rounded to halves, so that many corners fall together, with zeros of both signs. */
function coarse(soup: Float64Array, seed: number): Float64Array {
  const random = randomStream(seed);
  return soup.map((v) => {
    const rounded = Math.round(v * 2) / 2;
    return rounded === 0 && random() < 0.5 ? -0 : rounded;
  });
}

/** Triangles between few vertices: edges with any number of faces, repeated vertices too. */
function tangled(seed: number): Mesh {
  const random = randomStream(seed);
  const triangles = Uint32Array.from({ length: 3 * 40 }, () => Math.floor(random() * 14));
  return meshOf(new Float64Array(14 * 3), triangles);
}

function angleDeficit({ positions: p, triangles }: Mesh): number {
  let sum = (p.length / 3) * 2 * Math.PI;
  for (let h = 0; h < triangles.length; h++) {
    const [a, b, c] = [0, 1, 2].map((k) => triangles[h - (h % 3) + ((h + k) % 3)]! * 3) as [number, number, number];
    const u = [0, 1, 2].map((k) => p[b + k]! - p[a + k]!);
    const v = [0, 1, 2].map((k) => p[c + k]! - p[a + k]!);
    const dot = u[0]! * v[0]! + u[1]! * v[1]! + u[2]! * v[2]!;
    sum -= Math.acos(dot / (Math.hypot(...u) * Math.hypot(...v)));
  }
  return sum;
}
