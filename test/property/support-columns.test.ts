// The grid below overhangs against looking at every facet.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { supportColumns } from '../../src/geometry/support-columns.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { blob } from '../support/print-blob.ts';
import { box, joinMeshes } from '../support/printing-shapes.ts';

const SEED = 4711;
const size = (min: number, max: number) => fc.double({ min, max, noNaN: true });

it(`columns end where a search of all facets ends, seed ${SEED}`, () => {
  fc.assert(
    fc.property(size(5, 20), size(0, 0.1), size(0, 6), size(20, 70), (radius, amplitude, phase, limitDeg) => {
      const above = blob(radius, [[amplitude, phase]], 14);
      const raised = { ...above, positions: above.positions.map((v, i) => (i % 3 === 2 ? v + 9 : v)) };
      const mesh = joinMeshes(box(radius, radius * 1.3, 6), raised);
      const got = supportColumns(mesh, { limitDeg, sampleMm: 3 });
      const expected = bruteVolume(mesh, limitDeg, 3);
      expect(Math.abs(got.volumeMm3 - expected)).toBeLessThan(1e-9 * expected);
    }),
    { seed: SEED, numRuns: 15 },
  );
});

/** Own cutting by halving the rows, own search by planes. */
function bruteVolume(mesh: Mesh, limitDeg: number, sampleMm: number): number {
  const corner = (t: number, c: number): [number, number, number] => {
    const v = mesh.triangles[t * 3 + c]! * 3;
    return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
  };
  const num = mesh.triangles.length / 3;
  let sum = 0;
  for (let t = 0; t < num; t++) {
    const [a, b, c] = [corner(t, 0), corner(t, 1), corner(t, 2)];
    const n = normal(a, b, c);
    const length = Math.hypot(...n);
    if (n[2] / length >= -Math.sin((limitDeg * Math.PI) / 180)) continue;
    if (Math.max(a[2], b[2], c[2]) < 1e-6) continue;
    const flat = (p: number[], q: number[]): number => Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!);
    const k = Math.ceil(Math.max(flat(a, b), flat(b, c), flat(c, a)) / sampleMm);
    for (let i = 0; i < k; i++) {
      for (let j = 0; j < k - i; j++) {
        for (const third of [1 / 3, 2 / 3]) {
          if (third > 0.5 && j === k - i - 1) continue;
          const [wb, wc] = [(i + third) / k, (j + third) / k];
          const at = a.map((v, d) => v * (1 - wb - wc) + b[d]! * wb + c[d]! * wc) as [number, number, number];
          let floor = 0;
          for (let s = 0; s < num; s++) {
            const z = heightOver(at, corner(s, 0), corner(s, 1), corner(s, 2));
            if (z !== null && z < at[2] - 1e-6 && z > floor) floor = z;
          }
          sum += (-n[2] / 2 / (k * k)) * (at[2] - floor);
        }
      }
    }
  }
  return sum;
}

function normal(a: readonly number[], b: readonly number[], c: readonly number[]): [number, number, number] {
  const u = b.map((v, i) => v - a[i]!);
  const v = c.map((w, i) => w - a[i]!);
  return [u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!];
}

function heightOver(p: readonly number[], a: number[], b: number[], c: number[]): number | null {
  const n = normal(a, b, c);
  if (n[2] <= 0) return null;
  const side = (q: number[], r: number[]): number =>
    (r[0]! - q[0]!) * (p[1]! - q[1]!) - (r[1]! - q[1]!) * (p[0]! - q[0]!);
  if (side(a, b) < 0 || side(b, c) < 0 || side(c, a) < 0) return null;
  return a[2]! - (n[0] * (p[0]! - a[0]!) + n[1] * (p[1]! - a[1]!)) / n[2];
}
