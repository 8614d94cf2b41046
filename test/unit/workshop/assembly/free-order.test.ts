// A group that another one of its cut bars goes on before it; one that keys block stays where it is and is told of.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { box, together } from '../../../../src/mesh/builders.ts';
import type { Mesh } from '../../../../src/mesh/mesh.ts';
import { freeOrder } from '../../../../src/workshop/assembly/free-order.ts';
import { pathMeetings } from '../../../../src/workshop/assembly/joining-paths.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import { joinOrder } from '../../../../src/workshop/process/join-order.ts';
import type { Join } from '../../../../src/workshop/process/joints-record.ts';
import type { Seam } from '../../../../src/workshop/process/pieces-record.ts';

const seam = (id: string, cut = 0): Seam =>
  ({ id, pieces: id.split('-'), cut, plane: { normal: [0, 0, 1], offsetMm: 0 } }) as unknown as Seam;
// a base C; on it a hook B whose arm reaches over a block A
const base = box([0, 0, -10], [100, 20, 0]);
const hook = together([box([0, 0, 0], [40, 20, 50]), box([40, 0, 30], [90, 20, 50])]);
const block = box([60, 0, 0], [80, 20, 20]);
const seams = [seam('C-A'), seam('C-B')];
const pieces = [
  { id: 'A', volumeMm3: 8000 },
  { id: 'B', volumeMm3: 60000 },
  { id: 'C', volumeMm3: 90000 },
];
const replayOf = (a: Mesh) => {
  const bodies = new Map([
    ['A', [a]],
    ['B', [hook]],
    ['C', [base]],
  ]);
  return (join: Join) => pathMeetings(join, bodies, QUIET_WORK as ChapterWork);
};

describe('the order of joins', () => {
  const order = joinOrder(pieces, seams);

  it('starts with the larger group, which bars the smaller one', () => {
    expect(order.map(({ moving }) => moving)).toEqual([['B'], ['A']]);
    expect(replayOf(block)(order[1]!)).toMatchObject([{ moving: 'A', fixed: 'B' }]);
  });

  it('is changed where both are free the other way round, onto what is there by then', () => {
    const free = freeOrder(order, seams, replayOf(block));
    expect(free.map(({ join }) => join)).toEqual([
      { moving: ['A'], onto: ['C'], towards: [0, 0, -1], seams: ['C-A'] },
      { moving: ['B'], onto: ['C', 'A'], towards: [0, 0, -1], seams: ['C-B'] },
    ]);
    expect(free.flatMap(({ meets }) => meets)).toEqual([]);
  });

  it('stays where a group is in the way whichever comes first', () => {
    // the block reaches round the arm
    const round = together([block, box([82, 0, 0], [88, 20, 60]), box([60, 0, 54], [88, 20, 60])]);
    const kept = freeOrder(order, seams, replayOf(round));
    expect(kept.map(({ join }) => join)).toEqual(order);
    expect(kept[1]!.meets.length).toBeGreaterThan(0);
  });

  it('is changed too where the two meet at a seam of their own, which closes with the later', () => {
    const free = freeOrder(order, [...seams, seam('B-A')], replayOf(block));
    expect(free.map(({ join }) => join.seams)).toEqual([['C-A'], ['C-B', 'B-A']]);
  });

  it('stays where different cuts parted them', () => {
    const later = [seam('C-A', 0), seam('C-B', 1)];
    const kept = freeOrder(joinOrder(pieces, later), later, replayOf(block));
    expect(kept.map(({ join }) => join.moving)).toEqual([['B'], ['A']]);
  });
});
