// Which seams a hand still gets at from inside as the hollow closes, join by join.
import { BEFORE_DEFAULTS, type Block, blockPassage, placesBefore } from '../../geometry/block-passage.ts';
import { type CellGrid, markSurface } from '../../geometry/occupancy-grid.ts';
import { bounds } from '../../mesh/measure.ts';
import type { SeamReach } from '../process/assembly-record.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { Join } from '../process/joints-record.ts';
import type { InnerEdge } from './inner-edge.ts';
import type { Bodies } from './joining-paths.ts';

/** Cells along the longest side; never finer than this, mm. */
const AIM_CELLS = 56;
const FINEST_MM = 5;

/** Per join, the share of the inner edge of each seam closed so far in its group that lies before a hand. `edges`: one a seam of
 *  `seamIds`. Seams without an inner edge are left out.
 *  The hand is a block that comes in along the axes and reaches 50 mm beyond itself: docs/methods/assembly-order.md.
 *  Cost: O(triangles) once, some 0.3 s a join. */
export function reachByJoin(
  joins: readonly Join[],
  bodies: Bodies,
  seams: { readonly ids: readonly string[]; readonly edges: readonly InnerEdge[] },
  by: { readonly hand: Block; readonly work: ChapterWork },
): SeamReach[][] {
  if (joins.length === 0) return [];
  const grid = gridAround(bodies, by.hand);
  const cells = new Map([...bodies].map(([id]) => [id, cellsOf(id, bodies, grid, by.work)]));
  const closed = new Map<string, readonly string[]>();
  return joins.map((join, index) => {
    by.work.tick(index / joins.length, 'reaching inside');
    const group = [...join.onto, ...join.moving];
    const before = [join.onto, join.moving].flatMap((side) => closed.get(keyOf(side)) ?? []);
    const inside = [...before, ...join.seams];
    closed.set(keyOf(group), inside);
    const asked = inside.flatMap((id) => {
      const edge = seams.edges[seams.ids.indexOf(id)];
      return edge === undefined || edge.lengthMm.length === 0 ? [] : [{ id, edge }];
    });
    if (asked.length === 0) return [];
    const occupied = occupiedBy(group, cells);
    const passage = blockPassage(grid, occupied, by.hand);
    return asked.map(({ id, edge }) => ({ seam: id, share: shareBefore(grid, { occupied, passage }, edge) }));
  });
}

function keyOf(group: readonly string[]): string {
  return [...group].sort().join(' ');
}

function shareBefore(
  grid: CellGrid,
  by: { readonly occupied: Uint8Array; readonly passage: Uint8Array },
  edge: InnerEdge,
): number {
  const before = placesBefore(grid, by, edge.places, BEFORE_DEFAULTS);
  let [reached, whole] = [0, 0];
  edge.lengthMm.forEach((length, place) => {
    whole += length;
    if (before[place] === 1) reached += length;
  });
  return reached / whole;
}

/** With room all round for the block to come from anywhere. */
function gridAround(bodies: Bodies, hand: Block): CellGrid {
  const boxes = [...bodies.values()].flat().map((mesh) => bounds(mesh));
  const low = [0, 1, 2].map((c) => Math.min(...boxes.map(({ minMm }) => minMm[c as 0 | 1 | 2])));
  const high = [0, 1, 2].map((c) => Math.max(...boxes.map(({ maxMm }) => maxMm[c as 0 | 1 | 2])));
  const longest = Math.max(...low.map((v, c) => high[c]! - v));
  const cellMm = Math.max(FINEST_MM, longest / AIM_CELLS);
  const margin = Math.ceil(hand.longMm / 2 / cellMm) + 2;
  const sizeOn = (c: number): number => Math.ceil((high[c]! - low[c]!) / cellMm) + 1 + 2 * margin;
  return {
    originMm: [low[0]! - margin * cellMm, low[1]! - margin * cellMm, low[2]! - margin * cellMm],
    cellMm,
    size: [sizeOn(0), sizeOn(1), sizeOn(2)],
  };
}

function cellsOf(id: string, bodies: Bodies, grid: CellGrid, work: ChapterWork): Uint8Array {
  const state = new Uint8Array(grid.size[0] * grid.size[1] * grid.size[2]);
  for (const mesh of bodies.get(id) ?? [])
    markSurface(mesh, { ...grid, state }, { ...work, tick: () => work.tick(0, 'reaching inside') });
  return state;
}

function occupiedBy(group: readonly string[], cells: ReadonlyMap<string, Uint8Array>): Uint8Array {
  const [first, ...others] = group.map((id) => cells.get(id)!);
  const out = first!.slice();
  for (const one of others) for (let cell = 0; cell < out.length; cell++) if (one[cell] === 1) out[cell] = 1;
  return out;
}
