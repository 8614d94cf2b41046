// The seams of a piece as segments of the figure: where a crease hides one it is stitched, where nobody looks it is dotted.
import type { Seam } from '../../workshop/process/pieces-record.ts';
import { SEGMENT_LOOKS, type SegmentLook } from '../api/figure-codec.ts';
import { pennedRuns, seamStrokes } from './seam-strokes.ts';

export interface SeamSegments {
  /** xyz xyz a segment. */
  readonly seams: Float32Array;
  /** See FigureExposure. */
  readonly seamPrice: Uint8Array;
  readonly seamLook: Uint8Array;
}

/** Along the line, mm: a stitch is so long (its width makes it one), then comes so much of fine line; a dot, and what is left out. */
const STITCH_MM = { on: 0.9, off: 3.3 } as const;
const DOT_MM = { on: 1.2, off: 2 } as const;

/** Outlines of mating faces, which have no price, then what shows of the seams. Cost: O(points of the lines). */
export function seamSegments(seams: readonly Seam[]): SeamSegments {
  const lines: number[] = [];
  const prices: number[] = [];
  const looks: number[] = [];
  const put = (ends: readonly number[], price: number, look: SegmentLook): void => {
    lines.push(...ends);
    prices.push(price);
    looks.push(SEGMENT_LOOKS.indexOf(look));
  };
  for (const outline of seams.flatMap((seam) => seam.outlines)) {
    for (let i = 0; i < outline.length; i += 3) {
      const next = (i + 3) % outline.length;
      put([...outline.subarray(i, i + 3), ...outline.subarray(next, next + 3)], 0, 'priced');
    }
  }
  for (const line of seams.flatMap((seam) => seam.lines)) {
    for (const run of pennedRuns(line)) {
      const strokes = seamStrokes(run);
      if (run.pen === 'crease') cutUp(strokes, STITCH_MM, { on: 'stitch', off: 'fine' }, put);
      else if (run.pen === 'unseen') cutUp(strokes, DOT_MM, { on: 'dot', off: null }, put);
      else for (const { ends, price } of strokes) put(ends, priceByte(price), 'priced');
    }
  }
  return { seams: Float32Array.from(lines), seamPrice: Uint8Array.from(prices), seamLook: Uint8Array.from(looks) };
}

function priceByte(price: number): number {
  return 1 + Math.round(254 * price);
}

/** Strokes cut in turn into stretches of two lengths, over their ends as well; null: left out. */
function cutUp(
  strokes: ReturnType<typeof seamStrokes>,
  mm: { readonly on: number; readonly off: number },
  look: { readonly on: SegmentLook; readonly off: SegmentLook | null },
  put: (ends: readonly number[], price: number, look: SegmentLook) => void,
): void {
  let turn: 'on' | 'off' = 'off';
  let left = mm.off / 2;
  for (const { ends: e, price } of strokes) {
    const length = Math.hypot(e[3] - e[0], e[4] - e[1], e[5] - e[2]);
    for (let from = 0; from < length; ) {
      const to = Math.min(length, from + left);
      const now = look[turn];
      if (now !== null) put([...pointAt(e, from / length), ...pointAt(e, to / length)], priceByte(price), now);
      left -= to - from;
      from = to;
      if (left > 1e-9) continue;
      turn = turn === 'on' ? 'off' : 'on';
      left = mm[turn];
    }
  }
}

function pointAt(ends: readonly number[], share: number): number[] {
  return [0, 1, 2].map((c) => ends[c]! + share * (ends[c + 3]! - ends[c]!));
}
