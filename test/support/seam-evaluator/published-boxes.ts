// Boxes of the published search: how many beds cover what lies on either side of a plane, for all offsets at once.
import type { Size } from './fit.ts';
import type { Samples } from './samples.ts';

export type Way = readonly [number, number, number];

/** Samples are patches so wide, and planes stand so far apart, mm. */
export const SAMPLE_MM = 14;
export const STEP_MM = 12.7;

/** Frames in which boxes are taken: along the model, and along the plane with six turns. */
export function boxesOnSides(
  about: { readonly samples: Samples; readonly size: Size },
  {
    part,
    heights,
    low,
    count,
    normal,
  }: {
    readonly part: Int32Array;
    readonly heights: Float64Array;
    readonly low: number;
    readonly count: number;
    readonly normal: Way;
  },
): { readonly below: Float64Array; readonly above: Float64Array } {
  const frames = [UPRIGHT_FRAME, ...turnedFrames(normal)];
  const below = new Float64Array(count + 1).fill(Infinity);
  const above = new Float64Array(count + 1).fill(Infinity);
  const bins = Int32Array.from(heights, (height) => Math.floor((height - low) / STEP_MM));
  for (const frame of frames) {
    const spans = frame.map((axis) => spansOf(about.samples, { part, bins, count, axis }));
    for (let k = 1; k <= count; k++) {
      below[k] = Math.min(
        below[k]!,
        boxesFor(
          spans.map((span) => span.below[k]!),
          about.size,
        ),
      );
      above[k] = Math.min(
        above[k]!,
        boxesFor(
          spans.map((span) => span.above[k]!),
          about.size,
        ),
      );
    }
  }
  return { below, above };
}

type Frame = readonly [Way, Way, Way];
const UPRIGHT_FRAME: Frame = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

function turnedFrames(n: Way): Frame[] {
  const side: Way = Math.abs(n[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const u = unit(cross(side, n));
  const v = cross(n, u);
  return Array.from({ length: 6 }, (_, i): Frame => {
    const [c, s] = [Math.cos((i * Math.PI) / 12), Math.sin((i * Math.PI) / 12)];
    const a: Way = [c * u[0] + s * v[0], c * u[1] + s * v[1], c * u[2] + s * v[2]];
    return [a, cross(n, a), n];
  });
}

function spansOf(
  { middles }: Samples,
  about: { readonly part: Int32Array; readonly bins: Int32Array; readonly count: number; readonly axis: Way },
): { readonly below: Float64Array; readonly above: Float64Array } {
  const { part, bins, count, axis } = about;
  const lows = new Float64Array(count + 2).fill(Infinity);
  const highs = new Float64Array(count + 2).fill(-Infinity);
  for (const [i, s] of part.entries()) {
    const at = middles[3 * s]! * axis[0] + middles[3 * s + 1]! * axis[1] + middles[3 * s + 2]! * axis[2];
    lows[bins[i]!] = Math.min(lows[bins[i]!]!, at);
    highs[bins[i]!] = Math.max(highs[bins[i]!]!, at);
  }
  const below = new Float64Array(count + 1);
  const above = new Float64Array(count + 1);
  let [low, high] = [Infinity, -Infinity];
  for (let k = 1; k <= count; k++) {
    low = Math.min(low, lows[k - 1]!);
    high = Math.max(high, highs[k - 1]!);
    below[k] = Math.max(0, high - low);
  }
  [low, high] = [lows[count + 1]!, highs[count + 1]!];
  for (let k = count; k >= 1; k--) {
    low = Math.min(low, lows[k]!);
    high = Math.max(high, highs[k]!);
    above[k] = Math.max(0, high - low);
  }
  return { below, above };
}

/** Beds needed to cover a box, the least over which side lies along which. Samples are as wide as a patch. */
function boxesFor(spans: readonly number[], size: Size): number {
  let least = Infinity;
  for (const [a, b, c] of ORDERS) {
    let boxes = 1;
    for (const [i, side] of [a, b, c].entries()) boxes *= Math.ceil((spans[side]! + SAMPLE_MM / 2) / size[i]!);
    least = Math.min(least, boxes);
  }
  return least;
}

const ORDERS = [
  [0, 1, 2],
  [0, 2, 1],
  [1, 0, 2],
  [1, 2, 0],
  [2, 0, 1],
  [2, 1, 0],
] as const;

export function boxesOf(samples: Samples, part: Int32Array, size: Size): number {
  const spans = UPRIGHT_FRAME.map((axis) => {
    const heights = Float64Array.from(part, (s) => heightOf(samples, s, axis));
    return (
      heights.reduce((most, h) => Math.max(most, h), -Infinity) - heights.reduce((m, h) => Math.min(m, h), Infinity)
    );
  });
  return boxesFor(spans, size);
}

export function heightOf({ middles }: Samples, s: number, [x, y, z]: Way): number {
  return middles[3 * s]! * x + middles[3 * s + 1]! * y + middles[3 * s + 2]! * z;
}

/** An octahedron subdivided three times: 258 directions, of which 129 are not the opposite of another. */
export function halfSphere(): Way[] {
  let faces: [Way, Way, Way][] = [];
  for (const x of [1, -1])
    for (const y of [1, -1])
      for (const z of [1, -1])
        faces.push([
          [x, 0, 0],
          [0, y, 0],
          [0, 0, z],
        ]);
  for (let level = 0; level < 3; level++)
    faces = faces.flatMap(([a, b, c]) => {
      const [ab, bc, ca] = [between(a, b), between(b, c), between(c, a)];
      return [
        [a, ab, ca],
        [ab, b, bc],
        [ca, bc, c],
        [ab, bc, ca],
      ] as [Way, Way, Way][];
    });
  const known = new Map<string, Way>();
  for (const way of faces.flat()) {
    const positive =
      way[2] > 1e-9 || (Math.abs(way[2]) <= 1e-9 && (way[1] > 1e-9 || (Math.abs(way[1]) <= 1e-9 && way[0] > 0)));
    if (positive) known.set(way.map((v) => Math.round(v * 1e6)).join(), way);
  }
  return [...known.values()];
}

const between = (a: Way, b: Way): Way => unit([a[0] + b[0], a[1] + b[1], a[2] + b[2]]);
const cross = (a: Way, b: Way): Way => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
function unit(a: Way): Way {
  const length = Math.hypot(...a);
  return [a[0] / length, a[1] / length, a[2] / length];
}
