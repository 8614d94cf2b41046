// A block before, in and through openings that can be measured with a rule.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { blockPassage, placesBefore } from '../../../src/geometry/block-passage.ts';
import { type CellGrid, cellIndex, markSurface } from '../../../src/geometry/occupancy-grid.ts';
import { box, together } from '../../../src/mesh/builders.ts';
import type { Mesh } from '../../../src/mesh/mesh.ts';

const HAND = { longMm: 90, thinMm: 60 };

/** A box of 300 mm with walls of 4 mm and an opening in its top. */
function chest(openX: number, openY: number): Mesh {
  const [x, y] = [openX / 2, openY / 2];
  return together([
    box([-150, -150, 0], [150, 150, 4]),
    box([-150, -150, 4], [-146, 150, 300]),
    box([146, -150, 4], [150, 150, 300]),
    box([-146, -150, 4], [146, -146, 300]),
    box([-146, 146, 4], [146, 150, 300]),
    box([-150, -150, 300], [-x, 150, 304]),
    box([x, -150, 300], [150, 150, 304]),
    box([-x, -150, 300], [x, -y, 304]),
    box([-x, y, 300], [x, 150, 304]),
  ]);
}

function roomOf(mesh: Mesh): { grid: CellGrid; occupied: Uint8Array } {
  const grid: CellGrid = { originMm: [-212.5, -212.5, -62.5], cellMm: 5, size: [86, 86, 86] };
  const occupied = new Uint8Array(86 ** 3);
  markSurface(mesh, { ...grid, state: occupied }, QUIET_WORK);
  return { grid, occupied };
}

function isInReach(mesh: Mesh, place: readonly number[]): boolean {
  const { grid, occupied } = roomOf(mesh);
  const passage = blockPassage(grid, occupied, HAND);
  return placesBefore(grid, { occupied, passage }, Float64Array.from(place))[0] === 1;
}

const BOTTOM = [0, 0, 4, 0, 0, 1];
const CORNER = [-140, -140, 4, 0, 0, 1];

describe('a hand of 90 x 60 mm', () => {
  it.each([
    ['goes through an opening of 120 x 120', 120, 120, true],
    ['goes through one of 110 x 75, held flat', 110, 75, true],
    ['and the other way round', 75, 110, true],
    ['does not go through one of 80 x 80', 80, 80, false],
    ['nor through a slot of 200 x 55', 200, 55, false],
  ] as const)('%s', (_says, x, y, goes) => {
    expect(isInReach(chest(x, y), BOTTOM)).toBe(goes);
    expect(isInReach(chest(x, y), CORNER)).toBe(goes);
  });

  it('reaches as far as the fingers from an opening that it does not pass', () => {
    const under = (mm: number): number[] => [0, 0, 300 - mm, 0, 0, 1];
    expect(isInReach(chest(80, 80), under(30))).toBe(true);
    expect(isInReach(chest(80, 80), under(120))).toBe(false);
  });

  it('does not reach through a wall', () => {
    expect(isInReach(chest(40, 40), [-146, 0, 150, 1, 0, 0])).toBe(false);
    expect(isInReach(chest(40, 40), [-150, 0, 150, -1, 0, 0])).toBe(true);
  });
});

it('what passes is free: no cell of the block is occupied where its middle may stand', () => {
  const { grid, occupied } = roomOf(chest(110, 75));
  const passage = blockPassage(grid, occupied, HAND);
  expect(passage[cellIndex(grid, 0, 0, 300)]).toBe(1);
  expect(passage[cellIndex(grid, 0, 0, 150)]).toBe(1);
  expect(passage[cellIndex(grid, -130, 0, 150)]).toBe(0);
  expect(passage[cellIndex(grid, 20, 0, 302)]).toBe(0);
});
