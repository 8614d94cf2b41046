// A judge of layer steps that knows no formula: cuts a body by planes, stacks the sections to a stepped solid, and measures valleys and ridges on that.
import { randomStream } from '../../src/base/random.ts';
import type { Mesh, Vec3 } from '../../src/mesh/mesh.ts';

/** The stepped solid: layer k is its section, taken at its middle, as an upright prism from k x layerMm to (k + 1) x layerMm. */
export interface SteppedSolid {
  readonly layerMm: number;
  /** Of each layer, in no order: x, y of one end and of the other. */
  readonly sections: readonly Float64Array[];
}

export interface Relief {
  /** How deep the valley lies under the line from ridge to ridge, along the normal of the surface meant, mm; null on a top or a floor, which has none. */
  readonly depthMm: number | null;
  /** Of the tread it lies on, seen from above, mm: from its ridge to the next, or to where the tread ends at a wall or another edge. */
  readonly spacingMm: number;
}

/** A place that stands for as much area as every other of its sample. */
export interface Place {
  readonly tri: number;
  /** Null where there is no step next to it. */
  readonly relief: Relief | null;
}

/** Of a closed mesh that stands on z = 0. */
export function steppedSolid({ positions: p, triangles }: Mesh, layerMm: number): SteppedSolid {
  const lists: number[][] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [0, 1, 2].map((c) => triangles[t + c]! * 3);
    const heights = corners.map((v) => p[v + 2]!);
    const first = Math.max(0, Math.ceil(Math.min(...heights) / layerMm - 0.5));
    for (let k = first; (k + 0.5) * layerMm <= Math.max(...heights); k++) {
      const ends = crossings(p, corners, (k + 0.5) * layerMm);
      while (lists.length <= k) lists.push([]);
      if (ends.length === 4) lists[k]!.push(...ends);
    }
  }
  return { layerMm, sections: lists.map((list) => Float64Array.from(list)) };
}

/** A corner on the plane counts as above it. */
function crossings(p: Float64Array, corners: readonly number[], z: number): number[] {
  const ends: number[] = [];
  for (let c = 0; c < 3; c++) {
    const [a, b] = [corners[c]!, corners[(c + 1) % 3]!];
    if (p[a + 2]! < z === p[b + 2]! < z) continue;
    const [low, high] = p[a + 2]! < z ? [a, b] : [b, a];
    const s = (z - p[low + 2]!) / (p[high + 2]! - p[low + 2]!);
    ends.push(p[low]! + s * (p[high]! - p[low]!), p[low + 1]! + s * (p[high + 1]! - p[low + 1]!));
  }
  return ends;
}

/** Steps followed above and below a place. */
const REACH = 4;
/** A wider tread is a level face, mm. */
const WIDEST_MM = 30;
const NO_WIDTH_MM = 1e-6;

/** In the upright plane through the place along its normal; null where there is no step next to it, or a level face. */
export function reliefAt(solid: SteppedSolid, at: Vec3, normal: Vec3): Relief | null {
  const level = Math.hypot(normal[0], normal[1]);
  if (level === 0) return null;
  const cut = cutOf(solid, { at, way: [normal[0] / level, normal[1] / level] });
  const tread = treadAround(cut, Math.floor(at[2] / solid.layerMm), normal[2] < 0 ? -1 : 1);
  const valley = tread?.start == null ? null : valleyAt(cut, tread.start, { z: at[2], level, up: normal[2] });
  if (tread === null || tread.spacingMm >= WIDEST_MM) return null;
  return { depthMm: valley, spacingMm: tread.spacingMm };
}

/** A section's run along the line, from its layer. */
interface Start {
  readonly layer: number;
  readonly end: number;
}

/** What the stepped solid leaves bare around the place, at the height of the tread it lies on or in. `start`: the outer end of the tread where that is a ridge. */
function treadAround(
  { runsOf }: Cut,
  own: number,
  faces: 1 | -1,
): { readonly spacingMm: number; readonly start: Start | null } | null {
  for (const layer of [own, own - faces]) {
    const run = runAround(runsOf(layer));
    if (run === null) continue;
    const over = runsOf(layer + faces);
    if (runAround(over) !== null) break;
    const from = Math.max(run[0], ...over.filter((h, i) => i % 2 === 1 && h <= 0));
    const wall = Math.min(Infinity, ...over.filter((h, i) => i % 2 === 0 && h > 0));
    const start = run[1] <= wall ? { layer, end: run[1] } : null;
    return { spacingMm: Math.min(run[1], wall) - from, start };
  }
  // on an upright face the place lies on the end itself, give or take what arithmetic can know
  const end = runsOf(own).find((to, i) => i % 2 === 1 && Math.abs(to) < NO_WIDTH_MM);
  return end === undefined ? null : { spacingMm: 0, start: { layer: own, end } };
}

function runAround(runs: readonly number[]): readonly [number, number] | null {
  for (let i = 0; i + 1 < runs.length; i += 2) if (runs[i]! <= 0 && 0 <= runs[i + 1]!) return [runs[i]!, runs[i + 1]!];
  return null;
}

/** Depth of the valley that the place lies over, in the outline of the stepped solid turned so that the surface meant lies level. */
function valleyAt(cut: Cut, start: Start, { z, level, up }: { z: number; level: number; up: number }): number | null {
  const { corners, isWhole } = stairs(cut, start);
  const along = corners.map(([h, high]) => h * up - (high - z) * level);
  const out = corners.map(([h, high]) => h * level + (high - z) * up);
  const ridges = corners.flatMap((_, i) => (isRidge(out, i) ? [i] : []));
  if (ridges.length === 0) return isWhole ? 0 : null;
  for (let r = 1; r < ridges.length; r++) {
    const [a, b] = [ridges[r - 1]!, ridges[r]!];
    if (along[a]! * along[b]! > 0) continue;
    let depthMm = 0;
    for (let i = a + 1; i < b; i++) {
      const share = along[b] === along[a] ? 0 : (along[i]! - along[a]!) / (along[b]! - along[a]!);
      depthMm = Math.max(depthMm, out[a]! + share * (out[b]! - out[a]!) - out[i]!);
    }
    return depthMm;
  }
  return null;
}

/** Higher than the corner before and no lower than the one after; the last corner of a top or an underside is one too. */
function isRidge(out: readonly number[], i: number): boolean {
  if (i === 0) return out[0]! > out[1]!;
  return out[i]! > out[i - 1]! && (i === out.length - 1 || out[i]! >= out[i + 1]!);
}

interface Line {
  readonly at: Vec3;
  readonly way: readonly [number, number];
}

/** The stepped solid in the upright plane of a line. */
interface Cut {
  readonly layerMm: number;
  /** Where the line of a layer runs in the solid: from, to, from, to ... in mm outwards from the place. */
  readonly runsOf: (layer: number) => readonly number[];
}

function cutOf({ sections, layerMm }: SteppedSolid, line: Line): Cut {
  const known = new Map<number, readonly number[]>();
  const runsOf = (layer: number): readonly number[] => {
    const runs = known.get(layer) ?? solidRuns(sections[layer], line);
    known.set(layer, runs);
    return runs;
  };
  return { layerMm, runsOf };
}

function solidRuns(section: Float64Array | undefined, { at, way }: Line): number[] {
  const found: number[] = [];
  if (section === undefined) return found;
  for (let i = 0; i < section.length; i += 4) {
    const [ax, ay] = [section[i]! - at[0], section[i + 1]! - at[1]];
    const [bx, by] = [section[i + 2]! - at[0], section[i + 3]! - at[1]];
    const [a, b] = [way[0] * ay - way[1] * ax, way[0] * by - way[1] * bx];
    if (a < 0 === b < 0) continue;
    const s = a / (a - b);
    found.push(way[0] * (ax + s * (bx - ax)) + way[1] * (ay + s * (by - ay)));
  }
  return found.sort((one, other) => one - other);
}

/** Corners (outwards, z) of the outline from below to above, REACH layers each way; whole when it goes on so far. */
function stairs({ runsOf, layerMm }: Cut, start: Start) {
  const follow = (step: 1 | -1): number[] => {
    const ends: number[] = [];
    for (let [k, end] = [start.layer, start.end]; ends.length < REACH; k += step) {
      const next = nextEnd(runsOf(k), end, runsOf(k + step));
      if (next === null) break;
      ends.push(next);
      end = next;
    }
    return ends;
  };
  const [below, above] = [follow(-1), follow(1)];
  const ends = [...below.toReversed(), start.end, ...above];
  const lowest = start.layer - below.length;
  const corners = ends.flatMap((end, i) => [
    [end, (lowest + i) * layerMm] as const,
    [end, (lowest + i + 1) * layerMm] as const,
  ]);
  return { corners, isWhole: ends.length === 2 * REACH + 1 };
}

/** Where the outline goes on in the next layer: out under the open air, or back over the tread; null where it does not. */
function nextEnd(here: readonly number[], end: number, there: readonly number[]): number | null {
  const own = here.indexOf(end);
  for (let i = 0; i + 1 < there.length; i += 2) {
    const [from, to] = [there[i]!, there[i + 1]!];
    if (from < end && end <= to) return (here[own + 1] ?? Infinity) > to ? near(to, end) : null;
  }
  const back = there.filter((to, i) => i % 2 === 1 && to <= end).at(-1) ?? -Infinity;
  return back > here[own - 1]! ? near(back, end) : null;
}

function near(next: number, end: number): number | null {
  return Math.abs(next - end) < WIDEST_MM ? next : null;
}

/** At about `num` places spread evenly over the area of the triangles meant, drawn from the seed. */
export function sampleRelief(
  mesh: Mesh,
  solid: SteppedSolid,
  places: { readonly isMeant: (tri: number) => boolean; readonly num: number; readonly seed: number },
): readonly Place[] {
  const faces = Array.from({ length: mesh.triangles.length / 3 }, (_, tri) => tri)
    .filter(places.isMeant)
    .map((tri) => ({ tri, ...faceOf(mesh, tri) }));
  const each = faces.reduce((sum, { areaMm2 }) => sum + areaMm2, 0) / places.num;
  const random = randomStream(places.seed);
  const found: Place[] = [];
  let [passed, due] = [0, random() * each];
  for (const { tri, areaMm2, corners, normal } of faces) {
    for (passed += areaMm2; due < passed; due += each) {
      const root = Math.sqrt(random());
      const second = root * random();
      const shares = [1 - root, second, root - second];
      const at = [0, 1, 2].map((k) => corners.reduce((sum, corner, v) => sum + shares[v]! * corner[k]!, 0));
      found.push({ tri, relief: reliefAt(solid, at as unknown as Vec3, normal) });
    }
  }
  return found;
}

export function faceOf({ positions: p, triangles }: Mesh, tri: number) {
  const corners = [0, 1, 2].map((c) => [...p.subarray(triangles[tri * 3 + c]! * 3, triangles[tri * 3 + c]! * 3 + 3)]);
  const [e, f] = [1, 2].map((c) => [0, 1, 2].map((k) => corners[c]![k]! - corners[0]![k]!)) as [number[], number[]];
  const cross = [0, 1, 2].map((k) => e[(k + 1) % 3]! * f[(k + 2) % 3]! - e[(k + 2) % 3]! * f[(k + 1) % 3]!);
  const twice = Math.hypot(...cross);
  const normal = cross.map((v) => v / twice) as unknown as Vec3;
  return { areaMm2: twice / 2, corners, normal };
}

/** What half and 95 percent do not exceed. */
export function halfAndMost(values: readonly number[]): readonly [number, number] {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)]!;
  return [at(0.5), at(0.95)];
}
