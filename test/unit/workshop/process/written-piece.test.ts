// Rounding to the single precision of a file: two faces that all but touch do not come to cross, by less than anything is measured to.
import { expect, it } from 'vitest';
import { selfCrossings } from '../../../../src/geometry/crossings/self-crossings.ts';
import { box, together } from '../../../../src/mesh/builders.ts';
import { invertTransform, type Transform } from '../../../../src/mesh/transform.ts';
import { soundPlace, writtenPiece } from '../../../../src/workshop/process/written-piece.ts';

const shifted = (xMm: number): Transform => [1, 0, 0, 0, 1, 0, 0, 0, 1, xMm, 100, 0];
const crossingsAt = (mesh: Parameters<typeof soundPlace>[0], toModel: Transform): number =>
  selfCrossings(writtenPiece(mesh, toModel).mesh).pairs;

it('moves a piece whose faces would meet once they are rounded, and only such a one', () => {
  // beyond 64 mm single precision comes in steps of 7.6e-6 mm
  const near = together([box([0, 0, 0], [10, 10, 10]), box([10 + 5e-6, 2, 2], [20, 8, 8])]);
  const places = Array.from({ length: 40 }, (_, i) => shifted(100 + i * 1.3e-6));
  const harmed = places.filter((toLaid) => crossingsAt(near, invertTransform(toLaid)) > 0);
  expect(harmed.length).toBeGreaterThan(5);
  expect(harmed.length).toBeLessThan(35);
  for (const toLaid of places) {
    const toModel = soundPlace(near, toLaid);
    expect(crossingsAt(near, toModel)).toBe(0);
    const movedMm = invertTransform(toModel).map((x, i) => Math.abs(x - toLaid[i]!));
    expect(Math.max(...movedMm)).toBeLessThan(1e-4);
    expect(Math.max(...movedMm) > 1e-9).toBe(harmed.includes(toLaid));
    expect(movedMm[11]).toBe(0);
  }
});

it('leaves a piece that crosses itself where it lies', () => {
  const crossing = together([box([0, 0, 0], [10, 10, 10]), box([5, 2, 2], [20, 8, 8])]);
  const toLaid = shifted(100.3);
  expect(soundPlace(crossing, toLaid)).toEqual(invertTransform(toLaid));
});
