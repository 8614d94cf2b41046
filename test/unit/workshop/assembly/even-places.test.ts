// Places along lines that can be told from the drawing.
import { describe, expect, it } from 'vitest';
import { evenPlaces } from '../../../../src/workshop/assembly/even-places.ts';

const line = (...points: number[]) => ({ points: Float32Array.from(points), price: new Float32Array(0) });

describe('places evenly along a line', () => {
  it('stand at both ends and between', () => {
    expect(evenPlaces([line(0, 0, 0, 10, 0, 0, 10, 20, 0)], 4)).toEqual([
      [0, 0, 0],
      [10, 0, 0],
      [10, 10, 0],
      [10, 20, 0],
    ]);
  });
  it('go round a closed line without standing twice where it begins', () => {
    expect(evenPlaces([line(0, 0, 0, 10, 0, 0, 10, 10, 0, 0, 10, 0, 0, 0, 0)], 4)).toEqual([
      [0, 0, 0],
      [10, 0, 0],
      [10, 10, 0],
      [0, 10, 0],
    ]);
  });
  it('run on over several stretches', () => {
    expect(evenPlaces([line(0, 0, 0, 10, 0, 0), line(50, 0, 0, 60, 0, 0)], 3).map(([x]) => x)).toEqual([0, 10, 60]);
  });
  it('are none where there is no line', () => {
    expect(evenPlaces([], 3)).toEqual([]);
  });
});
