// The boxes in which a part may be measured: standing on one of a few faces, turned in steps about the vertical.
import type { Vec3 } from '../mesh/mesh.ts';
import { planeFrame } from './plane.ts';

/** In-plane turns: numTurns frames for each direction that may lie downwards, quarter turns being the same box. */
export const NUM_TURNS = 9;

/** Directions: numDirections x 3, per downward direction one vertical and 2 x numTurns horizontal ones. */
export interface LayingFrames {
  readonly numDowns: number;
  readonly numTurns: number;
  readonly directions: Float64Array;
}

/** Frames for each of the downward directions (either way down counts the same here: a box has no top). */
export function layingFrames(downs: readonly Vec3[], numTurns = NUM_TURNS): LayingFrames {
  const stride = 1 + 2 * numTurns;
  const directions = new Float64Array(downs.length * stride * 3);
  downs.forEach((down, k) => {
    const { u, v } = planeFrame(down);
    directions.set(down, k * stride * 3);
    for (let turn = 0; turn < 2 * numTurns; turn++) {
      const angle = (turn * Math.PI) / (2 * numTurns);
      const at = (k * stride + 1 + turn) * 3;
      for (let c = 0; c < 3; c++) directions[at + c] = Math.cos(angle) * u[c]! + Math.sin(angle) * v[c]!;
    }
  });
  return { numDowns: downs.length, numTurns, directions };
}

/** Frames counted through: which three directions frame i is measured along. */
export function frameDirections(
  frames: LayingFrames,
  i: number,
): readonly [down: number, across: number, along: number] {
  const { numTurns } = frames;
  const at = Math.floor(i / numTurns) * (1 + 2 * numTurns);
  return [at, at + 1 + (i % numTurns), at + 1 + (i % numTurns) + numTurns];
}

/** How much room a box of these sides leaves in the roomiest of the boxes, mm; negative when it fits none. */
export function roomLeft(boxes: readonly PrintBox[], across: number, along: number, height: number): number {
  let room = -Infinity;
  for (const { widthMm, depthMm, heightMm } of boxes) {
    const long = Math.max(widthMm, depthMm) - Math.max(across, along);
    const short = Math.min(widthMm, depthMm) - Math.min(across, along);
    room = Math.max(room, Math.min(long, short, heightMm - height));
  }
  return room;
}

/** A box that a part must fit in, mm: width, depth (either way round) and height. */
export interface PrintBox {
  readonly widthMm: number;
  readonly depthMm: number;
  readonly heightMm: number;
}

/** How a part with these extents along the frames' directions stands to the boxes. */
export interface BoxNeed {
  /** 1 when it fits; otherwise an estimate of the boxes it takes, at least 2. */
  pieces: number;
  /** Longest side of the box it was judged by. */
  longestMm: number;
  /** How far the fitting box is from its limits, mm; negative when none fits. */
  slackMm: number;
}

/** Looks all frames up. extents: one number a direction, in the order of `directions`.
 *  Estimate: the least over frames and boxes of a weighted geometric mean of product(side / limit) and
 *  product(ceil(side / limit)): the first is what volume asks, the second what a grid needs; a free division lies between. */
export function boxNeed(
  extents: Float64Array,
  frames: Pick<LayingFrames, 'numDowns' | 'numTurns'>,
  boxes: readonly PrintBox[],
  out: BoxNeed,
): BoxNeed {
  const { numDowns, numTurns } = frames;
  let best = Infinity;
  let longest = 0;
  let slack = -Infinity;
  for (let k = 0; k < boxes.length; k++) {
    const { widthMm, depthMm, heightMm } = boxes[k]!;
    const long = Math.max(widthMm, depthMm);
    const short = Math.min(widthMm, depthMm);
    const [perLong, perShort, perHeight] = [1 / long, 1 / short, 1 / heightMm];
    for (let down = 0, at = 0; down < numDowns; down++, at += 1 + 2 * numTurns) {
      const height = extents[at]!;
      const z = height > heightMm ? height * perHeight : 1;
      for (let turn = at + 1; turn <= at + numTurns; turn++) {
        const a = extents[turn]!;
        const b = extents[turn + numTurns]!;
        const wide = a > b ? a : b;
        const narrow = a > b ? b : a;
        let left = long - wide;
        if (short - narrow < left) left = short - narrow;
        if (heightMm - height < left) left = heightMm - height;
        if (left > slack) slack = left;
        const x = wide > long ? wide * perLong : 1;
        const y = narrow > short ? narrow * perShort : 1;
        const real = x * y * z;
        // the grid takes at least what volume asks
        if (real * real * real > best) continue;
        const need = left >= 0 ? 1 : cubedNeed(real, x, y, z);
        if (need < best || (need === best && left >= slack)) {
          best = need;
          longest = wide > height ? wide : height;
        }
      }
    }
  }
  out.pieces = best === 1 ? 1 : Math.max(2, Math.cbrt(best));
  out.longestMm = longest;
  out.slackMm = slack;
  return out;
}

/** The cube of the estimate: real x grid x grid, so that the grid weighs two thirds. With half, the search trusts in clever cuts that
 *  never come; with all, it never finds better than a grid: docs/methods/division-search.md. */
function cubedNeed(real: number, x: number, y: number, z: number): number {
  const grid = Math.ceil(x) * Math.ceil(y) * Math.ceil(z);
  return real * grid * grid;
}
