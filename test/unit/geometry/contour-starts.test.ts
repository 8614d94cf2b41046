// The farthest points of contours, on shapes whose corners are known.
import { describe, expect, it } from 'vitest';
import { Cancelled, QUIET_WORK } from '../../../src/base/work.ts';
import { contourStarts } from '../../../src/geometry/contour-starts.ts';
import { meshOf } from '../../../src/mesh/mesh.ts';
import { box, circle, joinMeshes, ring, turnedAboutZ } from '../../support/printing-shapes.ts';

const starts = (mesh: Parameters<typeof contourStarts>[0], bedDegs: readonly number[], aboutMm = 2) =>
  contourStarts(mesh, bedDegs, aboutMm, QUIET_WORK);

describe('the start of contours', () => {
  it.each([
    { deg: 0, corner: [20, 15], sides: ['right', 'back'] },
    { deg: 45, corner: [20, 15], sides: ['right', 'back'] },
    { deg: 90, corner: [-20, 15], sides: ['back', 'left'] },
    { deg: 180, corner: [-20, -15], sides: ['left', 'front'] },
    { deg: 270, corner: [20, -15], sides: ['front', 'right'] },
    { deg: 359, corner: [20, -15], sides: ['front', 'right'] },
  ])('of a box at $deg degrees is a corner, between the sides there', ({ deg, corner, sides }) => {
    const found = starts(box(40, 30, 20), [deg]);
    expect(found.numContours).toBe(10);
    expect(found.bandMm).toBe(2);
    expect([...found.heightMm]).toEqual([1, 3, 5, 7, 9, 11, 13, 15, 17, 19]);
    // two triangles a side, in the order of the quads of the box
    const sideOf = (tri: number): string => ['bottom', 'top', 'front', 'back', 'left', 'right'][tri >> 1]!;
    for (let i = 0; i < found.numContours; i++) {
      expect([...found.pointsMm.subarray(2 * i, 2 * i + 2)]).toEqual(corner);
      expect([...found.tris.subarray(2 * i, 2 * i + 2)].map(sideOf)).toEqual(sides);
    }
  });

  it('of a tube is on its outside; the hole has none', () => {
    const found = starts(ring(circle(50, 72), circle(40, 72), 9), [0, 120, 275]);
    expect(found.numContours).toBe(5);
    for (const [i, deg] of [0, 120, 275].entries()) {
      const [x, y] = found.pointsMm.subarray(2 * i, 2 * i + 2) as unknown as [number, number];
      expect(x).toBeCloseTo(50 * Math.cos((deg * Math.PI) / 180), 6);
      expect(y).toBeCloseTo(50 * Math.sin((deg * Math.PI) / 180), 6);
    }
  });

  it('is one for each contour of a height', () => {
    const [one, other] = [box(10, 10, 4), turnedAboutZ(box(10, 10, 8), 0)];
    const beside = meshOf(
      other.positions.map((v, i) => (i % 3 === 0 ? v + 100 : v)),
      other.triangles,
    );
    const found = starts(joinMeshes(one, beside), [10]);
    expect([...found.heightMm]).toEqual([1, 1, 3, 3, 5, 7]);
    const xs = [0, 1, 4, 5].map((i) => found.pointsMm[2 * i]!);
    expect(xs.sort((a, b) => a - b)).toEqual([5, 105, 105, 105]);
  });

  it('bands fill the height exactly', () => {
    const found = starts(box(10, 10, 7), [0]);
    expect(found.numContours).toBe(4);
    expect(found.bandMm).toBe(1.75);
    expect(starts(box(10, 10, 0.3), [0]).numContours).toBe(1);
    expect(starts(meshOf(new Float64Array(), new Uint32Array()), [0]).numContours).toBe(0);
  });

  it('stops when it is cancelled', () => {
    const work = {
      ...QUIET_WORK,
      tick: () => {
        throw new Cancelled();
      },
    };
    expect(() => contourStarts(box(10, 10, 7), [0], 2, work)).toThrow(Cancelled);
  });
});
