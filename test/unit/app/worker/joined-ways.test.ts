// Pieces drawn out along their joins: back along each way, far enough, and on the way whatever share is shown.
import { describe, expect, it } from 'vitest';
import { farPoints, joinedWays } from '../../../../src/app/worker/joined-ways.ts';
import type { Vec3 } from '../../../../src/mesh/mesh.ts';
import type { Join } from '../../../../src/workshop/process/joints-record.ts';

const seam = (id: string) => ({ id, pieces: id.split('-') as [string, string] });
const join = (moving: string[], onto: string[], towards: Vec3, seams: string[]): Join => ({
  moving,
  onto,
  towards,
  seams,
});

describe('pieces along the ways of their joins', () => {
  it('go back the way they come, the one that begins stays', () => {
    const order = [join(['D'], ['C'], [1, 0, 0], ['C-D']), join(['A'], ['C', 'D'], [0, 0, -1], ['A-C', 'A-D'])];
    const ways = joinedWays(order, ['C-D', 'A-C', 'A-D'].map(seam), 50);
    expect(ways.get('C')).toEqual({ shiftMm: [0, 0, 0], joins: [] });
    expect(ways.get('D')).toEqual({ shiftMm: [-50, 0, 0], joins: [1] });
    expect(ways.get('A')).toEqual({ shiftMm: [0, 0, 50], joins: [2] });
  });

  it('clear what has been drawn out before them', () => {
    const order = [join(['B'], ['A'], [0, 0, -1], ['A-B']), join(['C'], ['A', 'B'], [0, 0, -1], ['B-C'])];
    const ways = joinedWays(order, ['A-B', 'B-C'].map(seam), 50);
    expect(ways.get('B')!.shiftMm[2]).toBe(50);
    expect(ways.get('C')!.shiftMm[2]).toBe(100);
  });

  it('need not clear what they do not touch', () => {
    const order = [join(['B'], ['A'], [0, 0, -1], ['A-B']), join(['C'], ['A', 'B'], [0, 0, -1], ['A-C'])];
    expect(joinedWays(order, ['A-B', 'A-C'].map(seam), 50).get('C')!.shiftMm[2]).toBe(50);
  });

  it('move as groups, and say every join in which they move', () => {
    const order = [join(['B'], ['A'], [0, -1, 0], ['A-B']), join(['A', 'B'], ['C'], [0, 0, -1], ['B-C'])];
    const ways = joinedWays(order, ['A-B', 'B-C'].map(seam), 50);
    expect(ways.get('A')).toEqual({ shiftMm: [0, 0, 50], joins: [2] });
    expect(ways.get('B')).toEqual({ shiftMm: [0, 50, 50], joins: [1, 2] });
  });

  it('are none where nothing is joined', () => {
    expect(joinedWays([], [], 50).size).toBe(0);
  });
});

it('finds the points of a seam that lie far from each other', () => {
  const loop = Float32Array.of(0, 0, 0, 5, 0, 0, 9, 0, 0, 4, 1, 0);
  const [one, other] = farPoints([loop]);
  expect([one![0], other![0]]).toEqual([9, 0]);
  expect(farPoints([])).toEqual([]);
});
