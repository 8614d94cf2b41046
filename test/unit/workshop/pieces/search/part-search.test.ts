// Divisions found part by part: complete, of exact lines, and from given cuts on.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../../src/base/work.ts';
import { evenDirections } from '../../../../../src/geometry/half-sphere-directions.ts';
import { bowl } from '../../../../../src/mesh/builders.ts';
import { NOTHING_ASKED } from '../../../../../src/workshop/pieces/asked/asked-at-size.ts';
import { PiecesSettings } from '../../../../../src/workshop/pieces/pieces-settings.ts';
import { isLopsided, seamCost } from '../../../../../src/workshop/pieces/search/cut-costs.ts';
import { type Division, wholeDivision } from '../../../../../src/workshop/pieces/search/division-search.ts';
import { searchParts } from '../../../../../src/workshop/pieces/search/part-search.ts';
import { gaugeOf } from '../../../../../src/workshop/pieces/search/refine-division.ts';
import { sampledShell, taskOf } from '../../../../../src/workshop/pieces/search/shell-task.ts';

const mesh = bowl({ outerMm: 100, wallMm: 3 }, 24);
const settings = {
  ...PiecesSettings.parse({ beds: [{ id: 'bed', bedMm: [150, 150, 150] }] }),
  demands: NOTHING_ASKED,
  scale: 1,
};
const sampled = sampledShell(mesh, settings, QUIET_WORK, { aimNum: 1500 });
const task = taskOf(sampled, { normal: [1, 0, 0], offsetMm: 0 }, settings);
const by = { directions: evenDirections(2), work: QUIET_WORK };
const found = searchParts(task, task, by);

function samplesOf({ leaves }: Division): number[] {
  return leaves.flatMap((leaf) => [...leaf.samples]).sort((a, b) => a - b);
}

describe('a bowl divided part by part', () => {
  it('comes out in several ways, each in pieces that fit, which together are the bowl', () => {
    expect(found.complete.length).toBeGreaterThan(1);
    const all = Array.from({ length: task.samples.num }, (_, i) => i);
    for (const one of found.complete) {
      expect(one.isComplete).toBe(true);
      expect(one.leaves.every((leaf) => leaf.need.pieces === 1)).toBe(true);
      expect(one.leaves.length).toBeGreaterThanOrEqual(one.cuts.length + 1);
      expect(samplesOf(one)).toEqual(all);
    }
  });

  it('costs what its lines measure on the shell, the cheapest first', () => {
    for (const { cuts } of found.complete) {
      for (const { part, cut } of cuts) {
        const lopsidedMm = isLopsided(task, part, cut.plane) ? task.weights.lopsided : 0;
        // an image is priced as what it is the image of: the line of a mirrored triangle mesh is as long but for its triangles
        expect(Math.abs(cut.costMm - seamCost(task, gaugeOf(task, part, cut.plane)) - lopsidedMm)).toBeLessThan(12);
      }
    }
    const costs = found.complete.map((one) => one.expectedMm);
    expect(costs).toEqual([...costs].sort((a, b) => a - b));
  });

  it('goes on from cuts that are made', () => {
    const start = wholeDivision(task);
    const first = found.complete[0]!.cuts[0]!;
    const sides = [...first.cut.sides.below, ...first.cut.sides.above];
    const held = { ...start, cuts: [first], leaves: sides };
    const on = searchParts({ ...task, heldCuts: 1 }, task, by, held);
    expect(on.complete.length).toBeGreaterThan(0);
    for (const one of on.complete) {
      expect(one.cuts[0]!.cut.plane).toEqual(first.cut.plane);
      expect(samplesOf(one)).toHaveLength(task.samples.num);
    }
  });

  it('gives the same again', () => {
    expect(searchParts(task, task, by).complete.map((one) => one.expectedMm)).toEqual(
      found.complete.map((one) => one.expectedMm),
    );
  });
});
