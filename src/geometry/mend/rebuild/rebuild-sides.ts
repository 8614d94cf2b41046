// Which samples of a grid lie inside: one winding number for all samples that no triangle parts, more where the surface is open.
import type { Work } from '../../../base/work.ts';
import { NONE } from '../../../mesh/mesh.ts';
import {
  BLOCK_POINTS,
  type Blocks,
  firstCell,
  type Grid,
  neighbour,
  POINTS,
  SIDE,
} from '../../isosurface/isosurface-blocks.ts';
import { type WindingTree, windingFast } from '../../winding/winding-number.ts';
import { BLOCK_SAMPLES, type GridCrossings } from './rebuild-crossings.ts';
import { parentsByLink, rootOf } from './rebuild-links.ts';
import { type Rim, steepestWinding } from './rebuild-rim.ts';

export interface SideQuestion {
  readonly grid: Grid;
  readonly crossings: GridCrossings;
  readonly winding: WindingTree;
  readonly rim: Rim;
}

/** Blocks through which the surface of winding number 1/2 runs; samples are 1/2 - winding number, so negative inside.
 *  A closed surface costs one winding number for each set of samples that edges without crossings join; an open one a number
 *  for each set within a block, and more where the slope of the winding number (bounded by the rim) leaves the side in doubt.
 *  Cost: O(samples of blocks with crossings). */
export function sidesOfGrid(question: SideQuestion, work: Work): Blocks {
  const state = startSides(question);
  if (question.rim.num === 0) sideClosed(state, work);
  else sideOpen(state, work);
  return keptBlocks(state);
}

/** What is known of the samples of a grid: a number each, 1/2 or more inside. */
export interface GridNumbers {
  readonly grid: Grid;
  readonly numBlocks: number;
  /** Per block of the grid: where its 8^3 numbers are, or NONE when `whole` serves for all. */
  readonly slot: Int32Array;
  /** Per block of the grid: its winding number if it has one. */
  readonly whole: Float32Array;
  /** Per slot, 8^3 winding numbers. */
  readonly numbers: Float32Array[];
}

interface Sides extends SideQuestion, GridNumbers {}

function startSides(question: SideQuestion): Sides {
  return { ...question, ...noNumbers(question.grid) };
}

/** Every block outside as a whole. */
export function noNumbers(grid: Grid): GridNumbers {
  const [nx, ny, nz] = grid.numBlocks;
  const numBlocks = nx * ny * nz;
  return {
    grid,
    numBlocks,
    slot: new Int32Array(numBlocks).fill(NONE),
    whole: new Float32Array(numBlocks),
    numbers: [],
  };
}

/** Samples of one block joined by edges within it that nothing crosses. */
interface Parts {
  /** 8^3: part of a sample. */
  readonly label: Uint16Array;
  /** Part -> its first sample. */
  readonly first: Uint16Array;
  num: number;
}

const crossed = new Uint8Array(3 * BLOCK_SAMPLES);
const queue = new Uint16Array(BLOCK_SAMPLES);
const STEP = [1, SIDE, SIDE * SIDE] as const;
const NO_PART = 0xffff;

function newParts(): Parts {
  return { label: new Uint16Array(BLOCK_SAMPLES), first: new Uint16Array(BLOCK_SAMPLES), num: 0 };
}

function markCrossed({ crossings }: Sides, block: number): void {
  crossed.fill(0);
  for (let n = crossings.start[block]!; n < crossings.start[block + 1]!; n++) crossed[crossings.edge[n]!] = 1;
}

/** A box of samples within a block: lowest sample and number along each side. */
interface Corner {
  readonly i: number;
  readonly j: number;
  readonly k: number;
  readonly side: number;
}

const WHOLE_BLOCK: Corner = { i: 0, j: 0, k: 0, side: SIDE };

/** Labels the samples of a box; `crossed` must hold the block's edges. */
function labelParts(parts: Parts, { i: i0, j: j0, k: k0, side }: Corner): void {
  const { label, first } = parts;
  parts.num = 0;
  for (let k = k0; k < k0 + side; k++) {
    for (let j = j0; j < j0 + side; j++)
      label.fill(NO_PART, i0 + SIDE * (j + SIDE * k), i0 + side + SIDE * (j + SIDE * k));
  }
  const low = [i0, j0, k0] as const;
  for (let k = k0; k < k0 + side; k++) {
    for (let j = j0; j < j0 + side; j++) {
      for (let i = i0; i < i0 + side; i++) {
        const n = i + SIDE * (j + SIDE * k);
        if (label[n] !== NO_PART) continue;
        first[parts.num] = n;
        flood(label, { from: n, part: parts.num++ }, low, side);
      }
    }
  }
}

function flood(
  label: Uint16Array,
  start: { from: number; part: number },
  low: readonly [number, number, number],
  side: number,
): void {
  let tail = 0;
  queue[tail++] = start.from;
  label[start.from] = start.part;
  for (let head = 0; head < tail; head++) {
    const n = queue[head]!;
    for (let axis = 0; axis < 3; axis++) {
      const step = STEP[axis]!;
      const along = ((n / step) | 0) & 7;
      const base = axis * BLOCK_SAMPLES;
      if (along > low[axis]! && label[n - step] === NO_PART && crossed[base + n - step] === 0) {
        label[n - step] = start.part;
        queue[tail++] = n - step;
      }
      if (along < low[axis]! + side - 1 && label[n + step] === NO_PART && crossed[base + n] === 0) {
        label[n + step] = start.part;
        queue[tail++] = n + step;
      }
    }
  }
}

/** Winding number at a sample, a trifle beside it as the rule for points on the surface has it. */
function numberAt({ grid, winding }: Sides, block: number, sample: number): number {
  const [i0, j0, k0] = firstCell(grid, block);
  const nudge = 1e-6 * grid.cellMm;
  const x = grid.originMm[0] + (i0 + (sample & 7)) * grid.cellMm + nudge;
  const y = grid.originMm[1] + (j0 + ((sample >> 3) & 7)) * grid.cellMm + nudge / 3;
  const z = grid.originMm[2] + (k0 + (sample >> 6)) * grid.cellMm + nudge / 9;
  return windingFast(winding, x, y, z);
}

function sideClosed(state: Sides, work: Work): void {
  const { numBlocks, crossings, slot, whole } = state;
  const firstPart = new Uint32Array(numBlocks + 1);
  const labels: Uint16Array[] = [];
  const firsts: number[] = [];
  const parts = newParts();
  for (let block = 0; block < numBlocks; block++) {
    if ((block & 255) === 0) work.tick((block / numBlocks) * 0.5, 'joining samples');
    firstPart[block] = firsts.length;
    if (crossings.start[block] === crossings.start[block + 1]) {
      firsts.push(0);
      continue;
    }
    markCrossed(state, block);
    labelParts(parts, WHOLE_BLOCK);
    slot[block] = labels.length;
    labels.push(parts.label.slice());
    for (let part = 0; part < parts.num; part++) firsts.push(parts.first[part]!);
  }
  firstPart[numBlocks] = firsts.length;
  const root = joinAcross(state, { firstPart, labels, num: firsts.length }, work);
  const known = new Float32Array(firsts.length).fill(Number.NaN);
  for (let block = 0; block < numBlocks; block++) {
    for (let part = firstPart[block]!; part < firstPart[block + 1]!; part++) {
      const of = root[part]!;
      if (Number.isNaN(known[of]!)) known[of] = Math.round(numberAt(state, block, firsts[part]!));
      known[part] = known[of]!;
    }
    if (slot[block] === NONE) {
      whole[block] = known[firstPart[block]!]!;
      continue;
    }
    const label = labels[slot[block]!]!;
    const numbers = new Float32Array(BLOCK_SAMPLES);
    for (let n = 0; n < BLOCK_SAMPLES; n++) numbers[n] = known[firstPart[block]! + label[n]!]!;
    state.numbers.push(numbers);
  }
}

interface PartsOfAll {
  readonly firstPart: Uint32Array;
  readonly labels: readonly Uint16Array[];
  readonly num: number;
}

/** Joins parts over faces between blocks; per part, the least part it is joined to. */
function joinAcross(state: Sides, { firstPart, labels, num }: PartsOfAll, work: Work): Uint32Array {
  const { grid, slot, numBlocks } = state;
  const parent = parentsByLink(num);
  for (let block = 0; block < numBlocks; block++) {
    if ((block & 255) === 0) work.tick(0.5 + (block / numBlocks) * 0.4, 'joining samples');
    const here = slot[block]! === NONE ? null : labels[slot[block]!]!;
    if (here !== null) markCrossed(state, block);
    for (let axis = 0; axis < 3; axis++) {
      const next = neighbour(grid, block, 2 * axis + 1);
      if (next === NONE) continue;
      const there = slot[next]! === NONE ? null : labels[slot[next]!]!;
      const across = STEP[axis]!;
      const first = STEP[(axis + 1) % 3]!;
      const second = STEP[(axis + 2) % 3]!;
      for (let b = 0; b < SIDE; b++) {
        for (let a = 0; a < SIDE; a++) {
          const low = a * first + b * second;
          const n = low + 7 * across;
          if (here !== null && crossed[axis * BLOCK_SAMPLES + n] === 1) continue;
          const p = rootOf(parent, firstPart[block]! + (here === null ? 0 : here[n]!));
          const q = rootOf(parent, firstPart[next]! + (there === null ? 0 : there[low]!));
          if (p !== q) parent[Math.max(p, q)] = Math.min(p, q);
          if (here === null && there === null) break;
        }
        if (here === null && there === null) break;
      }
    }
  }
  for (let part = 0; part < num; part++) parent[part] = rootOf(parent, part);
  return parent;
}

function sideOpen(state: Sides, work: Work): void {
  const { numBlocks, crossings, slot, whole, grid } = state;
  const radius = (Math.sqrt(3) / 2) * (SIDE - 1) * grid.cellMm;
  for (let block = 0; block < numBlocks; block++) {
    if ((block & 15) === 0) work.tick(block / numBlocks, 'telling inside from outside');
    if (crossings.start[block] === crossings.start[block + 1]) {
      const number = numberAt(state, block, 3 + SIDE * (3 + SIDE * 3));
      whole[block] = number;
      const doubt =
        steepestWinding(state.rim, middleOf(grid, block, WHOLE_BLOCK), radius + grid.cellMm) * (radius + grid.cellMm);
      if (Math.abs(number - 0.5) > doubt) continue;
    }
    slot[block] = state.numbers.length;
    const numbers = new Float32Array(BLOCK_SAMPLES).fill(Number.NaN);
    state.numbers.push(numbers);
    sideBox(state, block, WHOLE_BLOCK, numbers);
  }
}

function middleOf(grid: Grid, block: number, { i, j, k, side }: Corner): [number, number, number] {
  const [i0, j0, k0] = firstCell(grid, block);
  const half = (side - 1) / 2;
  return [
    grid.originMm[0] + (i0 + i + half) * grid.cellMm,
    grid.originMm[1] + (j0 + j + half) * grid.cellMm,
    grid.originMm[2] + (k0 + k + half) * grid.cellMm,
  ];
}

/** Samples of a box that still have no number: each part of it gets one when that decides for all, else the box is cut in eight. */
function sideBox(state: Sides, block: number, box: Corner, numbers: Float32Array): void {
  const { i, j, k, side } = box;
  if (side === 1) {
    const n = i + SIDE * (j + SIDE * k);
    if (Number.isNaN(numbers[n]!)) numbers[n] = numberAt(state, block, n);
    return;
  }
  const radius = (Math.sqrt(3) / 2) * (side - 1) * state.grid.cellMm;
  const doubt = 1.5 * radius * steepestWinding(state.rim, middleOf(state.grid, block, box), radius);
  // Numbers are rarely farther than this from 1/2: no use asking.
  if (doubt > 1 || !decideParts(state, block, box, { doubt, numbers })) {
    const half = side / 2;
    for (let n = 0; n < 8; n++) {
      sideBox(
        state,
        block,
        { i: i + half * (n & 1), j: j + half * ((n >> 1) & 1), k: k + half * (n >> 2), side: half },
        numbers,
      );
    }
  }
}

/** True when every sample of the box has its number now. */
function decideParts(
  state: Sides,
  block: number,
  box: Corner,
  to: { readonly doubt: number; readonly numbers: Float32Array },
): boolean {
  const parts = newParts();
  markCrossed(state, block);
  labelParts(parts, box);
  putMiddlesFirst(parts, box);
  const known = new Float32Array(parts.num).fill(Number.NaN);
  let all = true;
  for (let k = box.k; k < box.k + box.side; k++) {
    for (let j = box.j; j < box.j + box.side; j++) {
      for (let i = box.i; i < box.i + box.side; i++) {
        const n = i + SIDE * (j + SIDE * k);
        if (!Number.isNaN(to.numbers[n]!)) continue;
        const part = parts.label[n]!;
        if (Number.isNaN(known[part]!)) known[part] = numberAt(state, block, parts.first[part]!);
        if (Math.abs(known[part]! - 0.5) > to.doubt) to.numbers[n] = known[part]!;
        else all = false;
      }
    }
  }
  return all;
}

/** Lets the sample nearest to the middle of the box stand for its part. */
function putMiddlesFirst(parts: Parts, { i: i0, j: j0, k: k0, side }: Corner): void {
  const least = new Float32Array(parts.num).fill(Infinity);
  const half = (side - 1) / 2;
  for (let k = k0; k < k0 + side; k++) {
    for (let j = j0; j < j0 + side; j++) {
      for (let i = i0; i < i0 + side; i++) {
        const away = (i - i0 - half) ** 2 + (j - j0 - half) ** 2 + (k - k0 - half) ** 2;
        const n = i + SIDE * (j + SIDE * k);
        if (away >= least[parts.label[n]!]!) continue;
        least[parts.label[n]!] = away;
        parts.first[parts.label[n]!] = n;
      }
    }
  }
}

/** The blocks in which some samples lie inside and some outside, each with 9^3 samples. Beyond the grid all is outside. */
export function keptBlocks(state: GridNumbers): Blocks {
  const { grid, numBlocks } = state;
  const keptAt = new Int32Array(numBlocks).fill(NONE);
  const place: number[] = [];
  const samples: Float32Array[] = [];
  const values = new Float32Array(BLOCK_POINTS);
  for (let block = 0; block < numBlocks; block++) {
    if (isPlain(state, block)) continue;
    let inside = 0;
    for (let k = 0, n = 0; k < POINTS; k++) {
      for (let j = 0; j < POINTS; j++) {
        for (let i = 0; i < POINTS; i++, n++) {
          values[n] = 0.5 - numberOf(state, block, i, j, k);
          if (values[n]! < 0) inside++;
        }
      }
    }
    if (inside === 0 || inside === BLOCK_POINTS) continue;
    keptAt[block] = place.length;
    place.push(block);
    samples.push(values.slice());
  }
  return { grid, keptAt, place: Int32Array.from(place), samples };
}

/** True when neither the block nor those after it can hold a change of side. */
function isPlain(state: GridNumbers, block: number): boolean {
  if (state.slot[block] !== NONE) return false;
  const inside = state.whole[block]! >= 0.5;
  for (let corner = 1; corner < 8; corner++) {
    const next = blockAt(state.grid, block, corner);
    if (next === NONE ? inside : state.slot[next] !== NONE || state.whole[next]! >= 0.5 !== inside) return false;
  }
  return true;
}

/** The block after this one along the axes whose bits are set, or NONE. */
function blockAt(grid: Grid, block: number, corner: number): number {
  let at = block;
  for (let axis = 0; axis < 3 && at !== NONE; axis++) if ((corner >> axis) & 1) at = neighbour(grid, at, 2 * axis + 1);
  return at;
}

function numberOf(state: GridNumbers, block: number, i: number, j: number, k: number): number {
  const corner = (i >> 3) | ((j >> 3) << 1) | ((k >> 3) << 2);
  const at = corner === 0 ? block : blockAt(state.grid, block, corner);
  if (at === NONE) return 0;
  const [nx, ny, nz] = state.grid.numBlocks;
  const x = (at % nx) * SIDE + (i & 7);
  const y = (Math.trunc(at / nx) % ny) * SIDE + (j & 7);
  const z = Math.trunc(at / (nx * ny)) * SIDE + (k & 7);
  if (x === 0 || y === 0 || z === 0 || x >= nx * SIDE - 1 || y >= ny * SIDE - 1 || z >= nz * SIDE - 1) return 0;
  const slot = state.slot[at]!;
  return slot === NONE ? state.whole[at]! : state.numbers[slot]![(i & 7) + SIDE * ((j & 7) + SIDE * (k & 7))]!;
}
