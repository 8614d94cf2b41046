// How much each place is looked at, and which places are outside: by rays alone.

import type { RayTree } from './ray-tree.ts';
import type { RefinedModel } from './refined-model.ts';

/** How much is looked from each side; model space, front is -y. Common practice, no source. */
export const VIEWERS = { front: 1, sides: 0.7, back: 0.5, above: 0.45, below: 0.05 };
export type ViewersPrior = typeof VIEWERS;
export const EVEN_VIEWERS: ViewersPrior = { front: 1, sides: 1, back: 1, above: 1, below: 1 };

/** Blended by the squares of the direction's parts, which sum to one. */
export function lookedFromWay(prior: ViewersPrior, x: number, y: number, z: number): number {
  return x * x * prior.sides + y * y * (y < 0 ? prior.front : prior.back) + z * z * (z > 0 ? prior.above : prior.below);
}

/** What a level face towards the front gets when nothing stands before it: cosine-weighted mean of the squares, 1/2, 1/4, 1/4. */
function fullView(prior: ViewersPrior): number {
  return prior.front / 2 + prior.sides / 4 + (prior.above + prior.below) / 8;
}

const OFF_MM = 0.02;
/** Averaged over neighbours within this distance that face the same way. */
const SMOOTH_MM = 8;
/** Farther apart, two sides are not a wall: a solid, all of which is outside. */
const THICKEST_WALL_MM = 30;
/** The less open side of a wall is outside too when it is nearly as open: a brim. */
const BRIM = 0.7;
/** Below this no side of a wall counts as open by itself. */
const CLOSED = 0.02;

export interface Exposure {
  /** Share of cosine-weighted rays that leave, a triangle. */
  readonly open: Float64Array;
  /** 1 = in full view from the front. */
  readonly seen: Float64Array;
  readonly outside: Uint8Array;
  /** Where the ray straight inwards from the middle meets the surface again; -1 where it does not. */
  readonly opposite: Int32Array;
  /** How far it went. */
  readonly depthMm: Float64Array;
}

export interface ExposureOptions {
  readonly rays?: number;
  readonly prior?: ViewersPrior;
}

export function exposureOf(model: RefinedModel, tree: RayTree, options: ExposureOptions = {}): Exposure {
  const { rays = 8, prior = VIEWERS } = options;
  const { normals, middles } = model;
  const count = model.areas.length;
  const open = new Float64Array(count);
  const seen = new Float64Array(count);
  const opposite = new Int32Array(count).fill(-1);
  const depthMm = new Float64Array(count).fill(Infinity);
  const chance = evenChance(12345);
  for (let t = 0; t < count; t++) {
    const at = pointOff(model, t, OFF_MM);
    const one = openAt(tree, { at, normal: normals.subarray(3 * t, 3 * t + 3), rays, prior, chance });
    open[t] = one.open;
    seen[t] = one.seen;
    const inward = [-normals[3 * t]!, -normals[3 * t + 1]!, -normals[3 * t + 2]!];
    const from = [0, 1, 2].map((c) => middles[3 * t + c]! + OFF_MM * inward[c]!);
    const hit = tree.first(from, inward);
    if (hit === null) continue;
    opposite[t] = hit.tri;
    depthMm[t] = hit.distanceMm + OFF_MM;
  }
  const [smoothOpen, smoothSeen] = smoothed(model, [open, seen]);
  const outside = outsideOf(smoothOpen, opposite, depthMm);
  return { open: smoothOpen, seen: smoothSeen, opposite, depthMm, outside };
}

export interface OpenQuestion {
  readonly at: ArrayLike<number>;
  readonly normal: ArrayLike<number>;
  readonly rays: number;
  readonly prior: ViewersPrior;
  readonly chance: () => number;
}

/** Cosine-weighted rays from a point: rays are stratified in height, turned by the golden angle from a chance start. */
export function openAt(
  tree: RayTree,
  { at, normal, rays, prior, chance }: OpenQuestion,
): { open: number; seen: number } {
  const [nx, ny, nz] = [normal[0]!, normal[1]!, normal[2]!];
  const side = Math.abs(nx) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  let u = [side[1]! * nz - side[2]! * ny, side[2]! * nx - side[0]! * nz, side[0]! * ny - side[1]! * nx];
  const length = Math.hypot(u[0]!, u[1]!, u[2]!);
  u = u.map((value) => value / length);
  const v = [ny * u[2]! - nz * u[1]!, nz * u[0]! - nx * u[2]!, nx * u[1]! - ny * u[0]!];
  const start = chance() * 2 * Math.PI;
  let left = 0;
  let looked = 0;
  for (let i = 0; i < rays; i++) {
    const share = (i + chance()) / rays;
    const r = Math.sqrt(share);
    const h = Math.sqrt(1 - share);
    const turn = start + i * 2.399963229728653;
    const [a, b] = [r * Math.cos(turn), r * Math.sin(turn)];
    const way = [a * u[0]! + b * v[0]! + h * nx, a * u[1]! + b * v[1]! + h * ny, a * u[2]! + b * v[2]! + h * nz];
    if (tree.first(at, way) !== null) continue;
    left++;
    looked += lookedFromWay(prior, way[0]!, way[1]!, way[2]!);
  }
  return { open: left / rays, seen: Math.min(1, looked / rays / fullView(prior)) };
}

/** A stream of numbers 0 to 1, the same for the same seed. */
export function evenChance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let x = Math.imul(state ^ (state >>> 15), state | 1);
    x = (x + Math.imul(x ^ (x >>> 7), x | 61)) ^ x;
    return ((x ^ (x >>> 14)) >>> 0) / 4294967296;
  };
}

function pointOff({ middles, normals }: RefinedModel, t: number, offMm: number): number[] {
  return [0, 1, 2].map((c) => middles[3 * t + c]! + offMm * normals[3 * t + c]!);
}

/** Of the two sides of a wall the more open one is outside; both where both are about as open. */
function outsideOf(open: Float64Array, opposite: Int32Array, depthMm: Float64Array): Uint8Array {
  return Uint8Array.from(open, (mine, t) => {
    if (opposite[t]! < 0 || depthMm[t]! > THICKEST_WALL_MM) return 1;
    const other = open[opposite[t]!]!;
    if (mine >= other) return mine > CLOSED || other > CLOSED ? 1 : 0;
    return mine >= BRIM * other ? 1 : 0;
  });
}

/** Means by area over neighbours; linear in the triangles times those within reach. */
function smoothed(model: RefinedModel, values: readonly [Float64Array, Float64Array]): [Float64Array, Float64Array] {
  const near = nearFinder(model, { withinMm: SMOOTH_MM, leastCosine: 0.85 });
  const out: [Float64Array, Float64Array] = [values[0].slice(), values[1].slice()];
  for (let t = 0; t < model.areas.length; t++) {
    let [first, second, weight] = [0, 0, 0];
    for (const other of near(t)) {
      first += values[0][other]! * model.areas[other]!;
      second += values[1][other]! * model.areas[other]!;
      weight += model.areas[other]!;
    }
    if (weight > 0) [out[0][t], out[1][t]] = [first / weight, second / weight];
  }
  return out;
}

export interface Nearness {
  readonly withinMm: number;
  /** Of the normals; only such triangles are walked over. */
  readonly leastCosine: number;
}

/** Triangles reached over edges whose middles lie within a distance; the triangle itself first. */
export function nearFinder(model: RefinedModel, { withinMm, leastCosine }: Nearness): (t: number) => readonly number[] {
  const { middles, normals, across } = model;
  const seenFor = new Int32Array(model.areas.length).fill(-1);
  return (t) => {
    const found = [t];
    seenFor[t] = t;
    for (let i = 0; i < found.length && found.length < 400; i++) {
      for (let k = 0; k < 3; k++) {
        const next = across[3 * found[i]! + k]!;
        if (next < 0 || seenFor[next] === t) continue;
        seenFor[next] = t;
        let [distance2, cosine] = [0, 0];
        for (let c = 0; c < 3; c++) {
          distance2 += (middles[3 * next + c]! - middles[3 * t + c]!) ** 2;
          cosine += normals[3 * next + c]! * normals[3 * t + c]!;
        }
        if (distance2 <= withinMm * withinMm && cosine >= leastCosine) found.push(next);
      }
    }
    return found;
  };
}
