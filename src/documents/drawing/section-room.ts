// Where words find room in a section drawing: a letter in the wall of its piece, a word where nothing is drawn.
import { clippedSides, insideAlong, type SectionPart, type SectionWindow } from './section-lines.ts';

type Point = readonly [number, number];

/** The middle of the wall that stands nearest to `nearY` where the upright at x crosses the part; null where it does not, or where the wall
 *  is thinner than `leastMm` or has its middle outside of the window. */
export function wallMiddle(
  { loops }: Pick<SectionPart, 'loops'>,
  x: number,
  by: SectionWindow & { readonly nearY: number; readonly leastMm: number },
): Point | null {
  let best: Point | null = null;
  for (const [from, to] of insideAlong(loops, [x, 0], [0, 1])) {
    const low = Math.max(from, by.minMm[1]);
    const high = Math.min(to, by.maxMm[1]);
    if (high - low < by.leastMm) continue;
    const y = (low + high) / 2;
    if (best === null || Math.abs(y - by.nearY) < Math.abs(best[1] - by.nearY)) best = [x, y];
  }
  return best;
}

/** Tried across the window. */
const PLACES = 24;

/** The middle of a box of this size in which nothing is drawn, with nothing of any part between it and the window's upper edge (`side` 1) or
 *  lower edge (-1); the nearest to `nearX`, at the edge. Null where there is none. */
export function freePlace(
  parts: readonly Pick<SectionPart, 'loops'>[],
  window: SectionWindow,
  box: {
    readonly widthMm: number;
    readonly heightMm: number;
    readonly side: 1 | -1;
    readonly nearX: number;
    /** Boxes of words that stand there already: middle x, width. */
    readonly taken?: readonly Point[];
  },
): Point | null {
  const { minMm, maxMm } = window;
  const half = box.widthMm / 2;
  const y = box.side > 0 ? maxMm[1] - box.heightMm / 2 : minMm[1] + box.heightMm / 2;
  const [from, to] = [minMm[0] + half, maxMm[0] - half];
  if (from > to) return null;
  const tried = Array.from({ length: PLACES + 1 }, (_, i) => from + ((to - from) * i) / PLACES).sort(
    (one, other) => Math.abs(one - box.nearX) - Math.abs(other - box.nearX),
  );
  const x = tried.find(
    (middle) =>
      (box.taken ?? []).every(([at, width]) => Math.abs(at - middle) >= half + width / 2) &&
      parts.every((part) =>
        isEmpty(part, {
          minMm: [middle - half, y - box.heightMm / 2],
          maxMm: [middle + half, y + box.heightMm / 2],
        }),
      ),
  );
  return x === undefined ? null : [x, y];
}

/** No line of the part runs through the window, and its middle is not inside. */
function isEmpty({ loops }: Pick<SectionPart, 'loops'>, window: SectionWindow): boolean {
  if (loops.some((loop) => clippedSides(loop, window).length > 0)) return false;
  const [x, y] = [0, 1].map((c) => (window.minMm[c]! + window.maxMm[c]!) / 2) as [number, number];
  return !insideAlong(loops, [x, y], [0, 1]).some(([from, to]) => from <= 0 && to >= 0);
}

/** Lowest and highest point of all parts within the window; null where nothing is drawn. */
export function drawnHeights(parts: readonly Pick<SectionPart, 'loops'>[], window: SectionWindow): Point | null {
  let [low, high] = [Infinity, -Infinity];
  for (const { loops } of parts) {
    for (const loop of loops) {
      for (const [, ay, , by] of clippedSides(loop, window)) {
        low = Math.min(low, ay, by);
        high = Math.max(high, ay, by);
      }
    }
  }
  return low > high ? null : [low, high];
}
