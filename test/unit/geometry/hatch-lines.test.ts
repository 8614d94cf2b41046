// Hatching: lines at even distances, joined over shared edges, only on the triangles given.
import { describe, expect, it } from 'vitest';
import { hatchLines } from '../../../src/geometry/hatch-lines.ts';
import { box, icoSphere } from '../../../src/mesh/builders.ts';
import { type Mesh, numTris } from '../../../src/mesh/mesh.ts';

const all = (mesh: Mesh): Uint32Array => Uint32Array.from({ length: numTris(mesh) }, (_, t) => t * 3);
const lengthOf = (line: Float32Array): number => {
  let mm = 0;
  for (let i = 3; i < line.length; i += 3)
    mm += Math.hypot(line[i]! - line[i - 3]!, line[i + 1]! - line[i - 2]!, line[i + 2]! - line[i - 1]!);
  return mm;
};

describe('hatching', () => {
  it('draws one closed line a plane round a whole sphere, as long as its circle', () => {
    const lines = hatchLines(icoSphere(10, 5), all(icoSphere(10, 5)), { normal: [0, 0, 1], spacingMm: 4 });
    expect(lines.length).toBe(5);
    for (const line of lines) {
      const z = line[2]!;
      expect(Math.abs(z / 4 - Math.round(z / 4))).toBeLessThan(1e-6);
      expect([...line.slice(0, 3)]).toEqual([...line.slice(-3)]);
      expect(lengthOf(line) / (2 * Math.PI * Math.sqrt(100 - z * z))).toBeCloseTo(1, 2);
    }
  });

  it('stays on the triangles given, in one line a plane', () => {
    const cube = box([0, 0, 0], [10, 10, 10]);
    const top = all(cube).filter((t) => [0, 1, 2].every((i) => cube.positions[cube.triangles[t + i]! * 3 + 2] === 10));
    const lines = hatchLines(cube, top, { normal: [1, 0, 0], spacingMm: 3 });
    expect(lines.map((line) => line[0])).toEqual([3, 6, 9]);
    for (const line of lines) {
      expect(lengthOf(line)).toBeCloseTo(10, 6);
      expect(line[2]).toBe(10);
    }
  });
});
