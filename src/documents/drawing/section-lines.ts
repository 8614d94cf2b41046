// The lines of a section drawing: outlines and hatching of what a plane cuts, as far as they lie in a window.

/** What the plane cuts of one part, mm in the plane: x to the right, y up. */
export interface SectionPart {
  readonly id: string;
  /** Closed outlines, 2 x n numbers each; inside is where an odd number of them goes round. */
  readonly loops: readonly Float64Array[];
  /** Direction of its hatching, degrees from x. */
  readonly hatchDeg: number;
  /** Between its lines, mm of paper. */
  readonly hatchMm: number;
}

export interface SectionWindow {
  readonly minMm: readonly [number, number];
  readonly maxMm: readonly [number, number];
}

/** From one point to another: ax, ay, bx, by. */
export type SectionLine = readonly [number, number, number, number];

export function meetsWindow(loop: Float64Array, { minMm, maxMm }: SectionWindow): boolean {
  let [lowX, lowY, highX, highY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < loop.length; i += 2) {
    lowX = Math.min(lowX, loop[i]!);
    highX = Math.max(highX, loop[i]!);
    lowY = Math.min(lowY, loop[i + 1]!);
    highY = Math.max(highY, loop[i + 1]!);
  }
  return lowX < maxMm[0] && highX > minMm[0] && lowY < maxMm[1] && highY > minMm[1];
}

/** The sides of a loop, as far as they lie in the window. Method: parametric clipping, Liang and Barsky 1984. */
export function clippedSides(loop: Float64Array, { minMm, maxMm }: SectionWindow): SectionLine[] {
  const out: SectionLine[] = [];
  for (let i = 0; i < loop.length; i += 2) {
    const j = (i + 2) % loop.length;
    const [ax, ay] = [loop[i]!, loop[i + 1]!];
    const [dx, dy] = [loop[j]! - ax, loop[j + 1]! - ay];
    let from = 0;
    let to = 1;
    for (const [d, room] of [
      [-dx, ax - minMm[0]],
      [dx, maxMm[0] - ax],
      [-dy, ay - minMm[1]],
      [dy, maxMm[1] - ay],
    ] as const) {
      if (d === 0) {
        if (room < 0) to = -1;
      } else if (d < 0) from = Math.max(from, room / d);
      else to = Math.min(to, room / d);
    }
    if (from < to) out.push([ax + from * dx, ay + from * dy, ax + to * dx, ay + to * dy]);
  }
  return out;
}

/** Parallel lines over what is inside, within the window. */
export function hatchLines(
  { loops, hatchDeg, hatchMm }: SectionPart,
  window: SectionWindow,
  scale: number,
): SectionLine[] {
  const { minMm, maxMm } = window;
  const [c, s] = [Math.cos((hatchDeg * Math.PI) / 180), Math.sin((hatchDeg * Math.PI) / 180)];
  const step = hatchMm / scale;
  const corners = [
    [minMm[0], minMm[1]],
    [maxMm[0], minMm[1]],
    [minMm[0], maxMm[1]],
    [maxMm[0], maxMm[1]],
  ].map(([x, y]) => -s * x! + c * y!);
  const out: SectionLine[] = [];
  const last = Math.floor(Math.max(...corners) / step);
  for (let k = Math.ceil(Math.min(...corners) / step); k <= last; k++) {
    const height = (k + 0.5) * step;
    for (const [from, to] of insideAlong(loops, [-s * height, c * height], [c, s])) {
      const ends = Float64Array.of(
        c * from - s * height,
        s * from + c * height,
        c * to - s * height,
        s * to + c * height,
      );
      out.push(...clippedSides(ends, window).slice(0, 1));
    }
  }
  return out;
}

/** Where a straight line runs inside, as stretches from the point `at` along the unit vector `way`, in their order. */
export function insideAlong(
  loops: readonly Float64Array[],
  at: readonly [number, number],
  way: readonly [number, number],
): (readonly [number, number])[] {
  const [c, s] = way;
  const height = -s * at[0] + c * at[1];
  const from = c * at[0] + s * at[1];
  const meets: number[] = [];
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i += 2) {
      const j = (i + 2) % loop.length;
      const a = -s * loop[i]! + c * loop[i + 1]! - height;
      const b = -s * loop[j]! + c * loop[j + 1]! - height;
      if (a < 0 === b < 0) continue;
      const f = a / (a - b);
      meets.push(c * (loop[i]! + f * (loop[j]! - loop[i]!)) + s * (loop[i + 1]! + f * (loop[j + 1]! - loop[i + 1]!)));
    }
  }
  meets.sort((one, other) => one - other);
  const out: (readonly [number, number])[] = [];
  for (let i = 0; i + 1 < meets.length; i += 2) out.push([meets[i]! - from, meets[i + 1]! - from]);
  return out;
}
