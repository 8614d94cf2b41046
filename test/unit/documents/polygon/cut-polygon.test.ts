// Polygons into triangles: covered once whatever their form and whichever corner comes first; bounded when they are hostile.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../../src/base/random.ts';
import { GrowingIndices } from '../../../../src/documents/growing.ts';
import { type CutBudget, cutPolygon } from '../../../../src/documents/polygon/cut-polygon.ts';
import { areaNormals } from '../../../../src/mesh/measure.ts';
import { meshOf } from '../../../../src/mesh/mesh.ts';

const SEED = 271828;

function cut(
  outline: readonly (readonly [number, number])[],
  lift: (x: number, y: number) => readonly number[],
  tests = 1e9,
) {
  const positions = Float64Array.from(outline.flatMap(([x, y]) => lift(x, y)));
  const corners = Uint32Array.from(outline.keys());
  const into = new GrowingIndices();
  const budget: CutBudget = { testsLeft: tests, numTangled: 0, tick: () => {} };
  const isDone = cutPolygon({ positions, corners, from: 0, to: corners.length }, into, budget);
  return { isDone, mesh: meshOf(positions, into.taken()), tangled: budget.numTangled };
}

/** Sum of areas along the outline's own normal, and of their sizes: equal when nothing is folded or covered twice. */
function areas(mesh: ReturnType<typeof meshOf>): [signed: number, total: number] {
  const n = areaNormals(mesh);
  let [x, y, z, total] = [0, 0, 0, 0];
  for (let i = 0; i < n.length; i += 3) {
    x += n[i]! / 2;
    y += n[i + 1]! / 2;
    z += n[i + 2]! / 2;
    total += Math.hypot(n[i]!, n[i + 1]!, n[i + 2]!) / 2;
  }
  return [Math.hypot(x, y, z), total];
}

const flat = (x: number, y: number) => [x, y, 0];
const tilted = (x: number, y: number) => [3 + 0.6 * x, 0.36 * x + 0.6 * y - 7, 0.8 * y - 0.2 * x];

const SHAPES: Readonly<Record<string, readonly (readonly [number, number])[]>> = {
  dart: [
    [0, 0],
    [4, 0],
    [1, 1],
    [0, 4],
  ],
  comb: [
    [0, 0],
    [7, 0],
    [7, 3],
    [6, 1],
    [5, 3],
    [4, 1],
    [3, 3],
    [2, 1],
    [1, 3],
  ],
  spiral: [
    [0, 0],
    [9, 0],
    [9, 9],
    [2, 9],
    [2, 4],
    [6, 4],
    [6, 6],
    [4, 6],
    [4, 7],
    [7, 7],
    [7, 2],
    [1, 2],
    [1, 10],
    [10, 10],
    [10, -1],
    [0, -1],
  ],
  'a hole by a bridge': [
    [0, 0],
    [6, 0],
    [6, 6],
    [0, 6],
    [0, 0],
    [2, 2],
    [2, 4],
    [4, 4],
    [4, 2],
    [2, 2],
  ],
  'corners in a row': [
    [0, 0],
    [1, 0],
    [2, 0],
    [3, 0],
    [3, 1],
    [3, 2],
    [2, 2],
    [2, 1],
    [1, 1],
    [0, 1],
  ],
};

describe('cutPolygon', () => {
  it.each(Object.entries(SHAPES))('covers a %s once, from every corner and in both directions', (_name, shape) => {
    for (const lift of [flat, tilted])
      for (let turn = 0; turn < shape.length; turn++) {
        const ring = [...shape.slice(turn), ...shape.slice(0, turn)];
        for (const outline of [ring, ring.toReversed()]) {
          const { isDone, mesh, tangled } = cut(outline, lift);
          const [signed, total] = areas(mesh);
          expect([isDone, tangled, mesh.triangles.length]).toEqual([true, 0, (shape.length - 2) * 3]);
          expect(total).toBeCloseTo(signed, 9);
        }
      }
  });
  it(`covers star-like polygons once (seed ${SEED})`, () => {
    const random = randomStream(SEED);
    for (let k = 0; k < 200; k++) {
      const size = 4 + Math.floor(random() * 40);
      const outline = Array.from({ length: size }, (_, i) => {
        const angle = (2 * Math.PI * (i + 0.4 * random())) / size;
        const radius = 0.1 + random();
        return [radius * Math.cos(angle), radius * Math.sin(angle)] as const;
      });
      const { mesh, tangled } = cut(outline, tilted);
      const [signed, total] = areas(mesh);
      expect([tangled, mesh.triangles.length]).toEqual([0, (size - 2) * 3]);
      expect(total).toBeCloseTo(signed, 9);
    }
  });
  it('gives as many triangles for an outline that crosses itself, and counts it', () => {
    const { mesh, tangled } = cut(
      [
        [0, 0],
        [4, 4],
        [4, 0],
        [0, 3],
        [-1, 1],
        [5, 2],
      ],
      flat,
    );
    expect(mesh.triangles.length).toBe(12);
    expect(tangled).toBe(1);
  });
  it('gives as many triangles for one without an area or without numbers', () => {
    expect(
      cut(
        [
          [0, 0],
          [1, 0],
          [2, 0],
          [1, 0],
        ],
        flat,
      ).mesh.triangles.length,
    ).toBe(6);
    expect(
      cut(
        [
          [0, 0],
          [Number.NaN, 0],
          [2, 0],
          [1, 5],
        ],
        flat,
      ).mesh.triangles.length,
    ).toBe(6);
    expect(
      cut(
        [
          [0, 0],
          [1e308, 0],
          [1e308, 1e308],
          [-1e308, 5],
        ],
        flat,
      ).mesh.triangles.length,
    ).toBe(6);
  });
  it('stops when its budget is spent', () => {
    const comb = Array.from({ length: 4000 }, (_, i) => [i, i % 2 === 0 ? 0 : 500 + (i % 7)] as const);
    const outline = [...comb, [4000, -1] as const, [0, -1] as const];
    expect(cut(outline, flat, 1000).isDone).toBe(false);
    expect(cut(outline, flat).isDone).toBe(true);
  });
});
