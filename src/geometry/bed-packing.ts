// Lays outlines on a rectangle so that none comes nearer to another than a gap: a few pieces on a printing bed.
import { randomStream } from '../base/random.ts';
import { QUIET_WORK, type Work } from '../base/work.ts';
import { edgeStrips } from './edge-strips.ts';

/** An outline in one turn as cells, its smallest corner at cell 0,0; rows of 32 cells a word. */
interface TurnedCells {
  readonly turnDeg: number;
  readonly wide: number;
  readonly deep: number;
  readonly words: number;
  /** Touched by the outline. */
  readonly own: Uint32Array;
  /** For each row its first cell, where its cells are one stretch; else NONE. */
  readonly only: Int32Array;
  /** Nearer to it than the gap, as stretches: row, first, last cell; negative ones too. */
  readonly near: Int32Array;
  /** From the turned outline to its cells' corner, mm. */
  readonly shiftMm: readonly [number, number];
}

/** An outline that can be laid, in every turn that is tried. */
export interface LayableOutline {
  readonly turns: readonly TurnedCells[];
  /** Cells that it touches, in its first turn. */
  readonly cells: number;
}

export interface LayingOptions {
  readonly gapMm: number;
  /** Side of a cell, mm: outlines are moved by whole cells. */
  readonly cellMm: number;
}

export const LAYING_CELL_MM = 1;

export interface BedRectangle {
  readonly widthMm: number;
  readonly depthMm: number;
}

/** Where an outline lies: first turned about 0,0 counter-clockwise, then shifted. */
export interface LaidPlace {
  readonly turnDeg: number;
  readonly atMm: readonly [number, number];
}

/** `loops`: outlines with holes by the even-odd rule, xy interleaved, mm. `turnsDeg`: tried in this order, at least one.
 *  Cost: O(turns x cells). */
export function layableOutline(
  loops: readonly Float64Array[],
  turnsDeg: readonly number[],
  { gapMm, cellMm }: LayingOptions,
): LayableOutline {
  const turns = turnsDeg.map((turnDeg) => turnedCells(loops, turnDeg, { gapMm, cellMm }));
  let cells = 0;
  for (const word of turns[0]!.own) cells += bitsIn(word);
  return { turns, cells };
}

/** Other orders than by size that are tried where there are too many for all. */
const SHUFFLES = 3;
/** The first outline is begun with in so many turns: by half a turn more the whole bed would only be turned. */
const FIRST_TURNS = 2;
/** Up to so many outlines all orders are tried. */
const ALL_ORDERS = 3;

/** A place for each outline, in their order, or null where none was found. Two outlines never come nearer than the gap, and none leaves the rectangle;
 *  both hold for every cell they touch, so for the outlines too, which may stand up to two cells farther apart than they would have to.
 *  Method: bottom-left filling on a raster, in several orders and turns; docs/methods/bed-packing.md. Weak: no search beyond these orders, so some beds that
 *  would hold are given up. Deterministic. Cost: for each order O(outlines x turns x cells) at worst. */
export function packBed(
  outlines: readonly LayableOutline[],
  bed: BedRectangle,
  { cellMm, work = QUIET_WORK }: { readonly cellMm: number; readonly work?: Work },
): LaidPlace[] | null {
  const wide = Math.floor(bed.widthMm / cellMm + 1e-9);
  const deep = Math.floor(bed.depthMm / cellMm + 1e-9);
  const area = outlines.reduce((sum, { cells }) => sum + cells, 0);
  if (area > wide * deep) return null;
  const orders = ordersOf(outlines);
  for (const [index, order] of orders.entries())
    for (let first = 0; first < Math.min(FIRST_TURNS, outlines[order[0]!]!.turns.length); first++) {
      work.tick(index / orders.length, 'laying pieces on a bed');
      const places = laidInOrder(outlines, order, { wide, deep, cellMm, first });
      if (places !== null) return places;
    }
  return null;
}

function laidInOrder(
  outlines: readonly LayableOutline[],
  order: readonly number[],
  {
    wide,
    deep,
    cellMm,
    first,
  }: { readonly wide: number; readonly deep: number; readonly cellMm: number; first: number },
): LaidPlace[] | null {
  const bed: BedCells = {
    wide,
    deep,
    words: Math.ceil(wide / 32) + 1,
    taken: new Uint32Array(deep * (Math.ceil(wide / 32) + 1)),
  };
  const places: LaidPlace[] = [];
  for (const [position, index] of order.entries()) {
    const { turns } = outlines[index]!;
    const best = lowestPlace(position === 0 ? [turns[first]!] : turns, bed);
    if (best === null) return null;
    take(bed, best);
    places[index] = {
      turnDeg: best.cells.turnDeg,
      atMm: [best.x * cellMm + best.cells.shiftMm[0], best.y * cellMm + best.cells.shiftMm[1]],
    };
  }
  return places;
}

interface BedCells {
  readonly wide: number;
  readonly deep: number;
  readonly words: number;
  readonly taken: Uint32Array;
}

interface CellPlace {
  readonly cells: TurnedCells;
  readonly x: number;
  readonly y: number;
}

/** The place whose top is lowest, then whose right side is farthest left. */
function lowestPlace(turns: readonly TurnedCells[], bed: BedCells): CellPlace | null {
  let best: CellPlace | null = null;
  for (const cells of turns) {
    const most = best === null ? bed.deep : best.y + best.cells.deep;
    const place = firstFree(cells, bed, most);
    if (place === null) continue;
    const top = place.y + cells.deep;
    if (best === null || top < most || (top === most && place.x + cells.wide < best.x + best.cells.wide)) best = place;
  }
  return best;
}

/** Lowest, then leftmost place whose top is no higher than `most` cells. */
function firstFree(cells: TurnedCells, bed: BedCells, most: number): CellPlace | null {
  const met: Met = { row: 0, nextX: 0 };
  for (let y = 0; y + cells.deep <= most; y++)
    for (let x = 0; x + cells.wide <= bed.wide; x = met.nextX)
      if (!meets(cells, bed, { x, y, met })) return { cells, x, y };
  return null;
}

/** The row that met what is taken, and the next x at which it may not. */
interface Met {
  row: number;
  nextX: number;
}

/** Whether a row of the outline meets what is taken, looked for from the row that met it last. Where a row is one stretch of cells, it goes on meeting the same
 *  taken cell until it has passed it. */
function meets(cells: TurnedCells, bed: BedCells, { x, y, met }: { x: number; y: number; met: Met }): boolean {
  const word = x >> 5;
  const bit = x & 31;
  const { own, words, deep, only } = cells;
  for (let i = 0; i < deep; i++) {
    const row = met.row + i < deep ? met.row + i : met.row + i - deep;
    const from = row * words;
    const to = (y + row) * bed.words + word;
    let carry = 0;
    for (let w = 0; w <= words; w++) {
      const mine = w < words ? own[from + w]! : 0;
      const shifted = bit === 0 ? mine : (mine << bit) | carry;
      carry = bit === 0 ? 0 : mine >>> (32 - bit);
      // the last word of a row holds carried cells only; where there are none it may lie in the next row of the bed
      const both = shifted === 0 ? 0 : shifted & bed.taken[to + w]!;
      if (both === 0) continue;
      met.row = row;
      met.nextX = only[row]! < 0 ? x + 1 : 32 * (word + w) + 31 - Math.clz32(both) - only[row]! + 1;
      return true;
    }
  }
  return false;
}

/** Marks what is nearer to the outline than the gap. */
function take(bed: BedCells, { cells, x, y }: CellPlace): void {
  const { near } = cells;
  for (let i = 0; i < near.length; i += 3) {
    const row = y + near[i]!;
    if (row < 0 || row >= bed.deep) continue;
    const from = Math.max(0, x + near[i + 1]!);
    const to = Math.min(bed.wide - 1, x + near[i + 2]!);
    for (let at = from; at <= to; at++) bed.taken[row * bed.words + (at >> 5)]! |= 1 << (at & 31);
  }
}

function turnedCells(loops: readonly Float64Array[], turnDeg: number, { gapMm, cellMm }: LayingOptions): TurnedCells {
  const turned = loops.map((loop) => turnedLoop(loop, turnDeg));
  const [[minX, minY], [maxX, maxY]] = loopsBox(turned);
  const wide = Math.floor((maxX - minX) / cellMm) + 1;
  const deep = Math.floor((maxY - minY) / cellMm) + 1;
  const cells = new Uint8Array(wide * deep);
  // rounding may put the end of an edge into the cell beyond the last
  const fill = (row: number, from: number, to: number): void => {
    cells.fill(1, row * wide + Math.max(0, from), row * wide + Math.min(wide - 1, to) + 1);
  };
  const crossings: number[][] = Array.from({ length: deep }, () => []);
  for (const loop of turned) {
    const points = loop.map((v, i) => (v - (i % 2 === 0 ? minX : minY)) / cellMm);
    for (let to = 0, from = points.length / 2 - 1; 2 * to < points.length; from = to, to++) {
      edgeStrips(points, from, to, fill);
      const [low, high] = points[2 * from + 1]! < points[2 * to + 1]! ? [from, to] : [to, from];
      const [x, y] = [points[2 * low]!, points[2 * low + 1]!];
      const [dx, dy] = [points[2 * high]! - x, points[2 * high + 1]! - y];
      for (let row = Math.ceil(y - 0.5); row + 0.5 < y + dy; row++)
        crossings[row]!.push(x + ((row + 0.5 - y) * dx) / dy);
    }
  }
  for (const [row, xs] of crossings.entries()) {
    xs.sort((one, other) => one - other);
    for (let i = 0; i + 1 < xs.length; i += 2) fill(row, Math.floor(xs[i]!), Math.floor(xs[i + 1]!));
  }
  const only = Int32Array.from({ length: deep }, (_, row) => onlyStretch(cells.subarray(row * wide, (row + 1) * wide)));
  const words = Math.ceil(wide / 32);
  const own = new Uint32Array(deep * words);
  for (let y = 0; y < deep; y++)
    for (let x = 0; x < wide; x++) if (cells[y * wide + x] === 1) own[y * words + (x >> 5)]! |= 1 << (x & 31);
  return {
    turnDeg,
    wide,
    deep,
    words,
    own,
    only,
    near: nearStretches(cells, wide, gapMm / cellMm),
    shiftMm: [-minX, -minY],
  };
}

const NONE = -1;

function onlyStretch(row: Uint8Array): number {
  const first = row.indexOf(1);
  const end = row.indexOf(0, first);
  return first >= 0 && (end < 0 || row.indexOf(1, end) < 0) ? first : NONE;
}

/** Stretches of cells that have a point nearer to a point of one of `cells` than `gap` cells. */
function nearStretches(cells: Uint8Array, wide: number, gap: number): Int32Array {
  const stretches: number[] = [];
  const most = Math.ceil(gap);
  for (let row = 0; row * wide < cells.length; row++)
    for (let x = 0; x < wide; x++) {
      if (cells[row * wide + x] === 0) continue;
      const from = x;
      while (x + 1 < wide && cells[row * wide + x + 1] === 1) x++;
      for (let up = -most; up <= most; up++) {
        const left = Math.max(0, Math.abs(up) - 1);
        if (left >= gap && left > 0) continue;
        const side = Math.ceil(Math.sqrt(Math.max(0, gap * gap - left * left)));
        stretches.push(row + up, from - side, x + side);
      }
    }
  return Int32Array.from(stretches);
}

/** Smallest and largest corner of all loops. */
export function loopsBox(loops: readonly Float64Array[]): readonly [[number, number], [number, number]] {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const loop of loops)
    for (let i = 0; i < loop.length; i += 2) {
      minX = Math.min(minX, loop[i]!);
      maxX = Math.max(maxX, loop[i]!);
      minY = Math.min(minY, loop[i + 1]!);
      maxY = Math.max(maxY, loop[i + 1]!);
    }
  return [
    [minX, minY],
    [maxX, maxY],
  ];
}

/** `turnDeg` counter-clockwise about 0,0. */
export function turnedLoop(loop: Float64Array, turnDeg: number): Float64Array {
  const [cos, sin] = cosSin(turnDeg);
  const out = new Float64Array(loop.length);
  for (let i = 0; i < loop.length; i += 2) {
    out[i] = cos * loop[i]! - sin * loop[i + 1]!;
    out[i + 1] = sin * loop[i]! + cos * loop[i + 1]!;
  }
  return out;
}

/** Quarter turns without rounding. */
function cosSin(turnDeg: number): readonly [number, number] {
  const quarters = turnDeg / 90;
  if (Number.isInteger(quarters)) {
    const quarter = ((quarters % 4) + 4) % 4;
    return [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ][quarter] as unknown as readonly [number, number];
  }
  const rad = (turnDeg * Math.PI) / 180;
  return [Math.cos(rad), Math.sin(rad)];
}

function ordersOf(outlines: readonly LayableOutline[]): number[][] {
  const all = outlines.map((_, i) => i);
  if (all.length <= ALL_ORDERS) return permutations(all);
  const by = (of: (outline: LayableOutline) => number): number[] =>
    [...all].sort((one, other) => of(outlines[other]!) - of(outlines[one]!) || one - other);
  const random = randomStream(outlines.length);
  const shuffled = Array.from({ length: SHUFFLES }, () => {
    const keys = all.map(() => random());
    return [...all].sort((one, other) => keys[one]! - keys[other]!);
  });
  return [
    by(({ cells }) => cells),
    by(({ turns }) => Math.max(turns[0]!.wide, turns[0]!.deep)),
    by(({ turns }) => Math.min(turns[0]!.wide, turns[0]!.deep)),
    ...shuffled,
  ];
}

function permutations(items: readonly number[]): number[][] {
  if (items.length <= 1) return [[...items]];
  return items.flatMap((item) => permutations(items.filter((other) => other !== item)).map((rest) => [item, ...rest]));
}

function bitsIn(word: number): number {
  let [bits, left] = [0, word];
  for (; left !== 0; left &= left - 1) bits++;
  return bits;
}
