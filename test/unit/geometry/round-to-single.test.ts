import { describe, expect, it } from 'vitest';
import { flipNeedles } from '../../../src/geometry/flip-needles.ts';
import { roundToSingle } from '../../../src/geometry/round-to-single.ts';
import { type Mesh, meshOf } from '../../../src/mesh/mesh.ts';
import { ball, box, numBadEdges, ring, together, turned, volumeOf } from '../../support/section-shapes.ts';

/** As a reader of the file sees it: vertices joined by equal single-precision coordinates. */
function reread(mesh: Mesh): Mesh {
  const handles = new Map<string, number>();
  const positions: number[] = [];
  const triangles = mesh.triangles.map((v) => {
    const p = [...Float32Array.from(mesh.positions.subarray(v * 3, v * 3 + 3))];
    const key = p.join();
    if (!handles.has(key)) {
      handles.set(key, handles.size);
      positions.push(...p);
    }
    return handles.get(key)!;
  });
  return meshOf(Float64Array.from(positions), triangles);
}

const isSingle = (mesh: Mesh): boolean => mesh.positions.every((value) => value === Math.fround(value));

describe('roundToSingle', () => {
  it('leaves what is single precision already', () => {
    const cube = box([0, 0, 0], [10, 20, 30]);
    const single = roundToSingle(cube);
    expect(single).toMatchObject({ numCollapsed: 0, movedMm: 0, numBadEdges: 0, numNeedles: 0 });
    expect([...single.mesh.positions]).toEqual([...cube.positions]);
    expect([...single.mesh.triangles]).toEqual([...cube.triangles]);
  });

  it('takes out a ring of slivers and carries provenance', () => {
    const drum = turned(
      [
        [0, 0],
        [7, 0],
        [7, 5],
        [7, 5 + 1e-9],
        [7, 20],
        [0, 20],
      ],
      24,
    );
    const source = Int32Array.from({ length: drum.triangles.length / 3 }, (_, t) => 1000 + t);
    const single = roundToSingle(drum, source);
    expect(single.numCollapsed).toBe(48);
    expect(numBadEdges(single.mesh)).toBe(0);
    expect(isSingle(single.mesh)).toBe(true);
    expect(volumeOf(single.mesh)).toBeCloseTo(volumeOf(drum), 3);
    expect(new Set(single.sourceTri).size).toBe(drum.triangles.length / 3 - 48);
    expect(Math.min(...single.sourceTri)).toBeGreaterThanOrEqual(1000);
  });

  it.each([
    {
      name: 'a tube whose waist is thinner than the last bit',
      mesh: turned(
        [
          [0, 0],
          [7, 0],
          [1e-9, 10],
          [7, 20],
          [0, 20],
        ],
        3,
      ),
    },
    { name: 'a plate thinner than the last bit', mesh: together(box([0, 0, 100], [10, 10, 100 + 1e-7]), ball(3, 12)) },
    {
      name: 'two boxes that fall together in a face',
      mesh: together(box([0, 0, 100], [10, 10, 110]), box([0, 0, 110 + 1e-7], [10, 10, 120])),
    },
    {
      name: 'two boxes that fall together in an edge',
      mesh: together(box([0, 0, 100], [10, 10, 110]), box([10 + 1e-8, 0, 110 + 1e-7], [20, 10, 120])),
    },
    {
      name: 'two boxes that fall together in a corner',
      mesh: together(box([0, 0, 0], [10, 10, 10]), box([10, 10, 10], [20, 20, 20])),
    },
    { name: 'a torus with a hole thinner than the last bit', mesh: ring(8, 8 - 1e-9, 16, 12) },
    { name: 'grains smaller than the last bit', mesh: together(ball(1e-9, 8), ball(10, 16)) },
  ])('$name: every edge twice, also for a reader', ({ mesh }) => {
    const single = roundToSingle(mesh);
    expect(single.numBadEdges).toBe(0);
    expect(numBadEdges(single.mesh)).toBe(0);
    expect(numBadEdges(reread(single.mesh))).toBe(0);
    expect(isSingle(single.mesh)).toBe(true);
    expect(Math.abs(volumeOf(single.mesh) / volumeOf(mesh) - 1)).toBeLessThan(1e-4);
    expect(single.movedMm).toBeLessThan(5e-5);
  });

  it('turns needles away without moving the surface', () => {
    const low = box([0, 0, 0], [8, 8, 8]);
    const positions = Float64Array.from([...low.positions, 4, 0, 0]);
    const split: number[] = [];
    for (let t = 0; t < low.triangles.length; t += 3) split.push(...low.triangles.subarray(t, t + 3));
    const withNeedle = splitEdgeByNeedle(split, 0, 1, 8);
    const mesh = meshOf(positions, Uint32Array.from(withNeedle));
    expect(numBadEdges(mesh)).toBe(0);
    const source = Int32Array.from({ length: withNeedle.length / 3 }, (_, t) => t);
    expect(flipNeedles(positions, mesh.triangles, source)).toBe(0);
    expect(numBadEdges(mesh)).toBe(0);
    expect(volumeOf(mesh)).toBe(512);
    expect(source.at(-1)).not.toBe(withNeedle.length / 3 - 1);
  });
});

/** Splits the triangle that runs from -> to at `middle`, and closes the gap to its neighbour with a needle. */
function splitEdgeByNeedle(triangles: number[], from: number, to: number, middle: number): number[] {
  const out: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = triangles.slice(t, t + 3);
    const at = corners.findIndex((v, c) => v === from && corners[(c + 1) % 3] === to);
    if (at < 0) out.push(...corners);
    else {
      const apex = corners[(at + 2) % 3]!;
      out.push(from, middle, apex, middle, to, apex);
    }
  }
  return [...out, from, to, middle];
}
