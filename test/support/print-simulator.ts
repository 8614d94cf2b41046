// A separate judge of print times: upright prisms, every move of every layer, jerk-limited ramps and corners by a speed step.
// Shares nothing with the program but the machine's numbers.
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import type { Machine } from '../../src/workshop/process/machine.ts';
import type { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { ring } from './printing-shapes.ts';

type Point = readonly [number, number];

/** A prism over a smooth closed curve round the origin; with wallMm it is a wall that thick, else solid. */
export interface Prism {
  readonly radiusMm: number;
  readonly waves: readonly (readonly [number, number, number])[];
  readonly wallMm: number | null;
  readonly heightMm: number;
}

export interface HiddenLaw {
  readonly jerkMmS3: number;
  /** Speed a corner may change at once. */
  readonly stepMmS: number;
}

const SAMPLES = 480;

/** The curve drawn `inward` mm inside, by its normals. */
function curve(prism: Prism, inward: number): Point[] {
  const at = (t: number): Point => {
    let r = prism.radiusMm;
    for (const [size, times, phase] of prism.waves) r += prism.radiusMm * size * Math.cos(times * t + phase);
    return [r * Math.cos(t), r * Math.sin(t)];
  };
  return Array.from({ length: SAMPLES }, (_, i) => {
    const t = (2 * Math.PI * i) / SAMPLES;
    const [x, y] = at(t);
    const [ax, ay] = at(t - 1e-4);
    const [bx, by] = at(t + 1e-4);
    const l = Math.hypot(bx - ax, by - ay);
    return [x - (inward * (by - ay)) / l, y + (inward * (bx - ax)) / l] as const;
  });
}

export function prismMesh(prism: Prism): Mesh {
  const outer = curve(prism, 0);
  if (prism.wallMm !== null) return ring(outer, curve(prism, prism.wallMm), prism.heightMm);
  const n = outer.length;
  const positions = [0, 0, 0, 0, 0, prism.heightMm];
  for (const z of [0, prism.heightMm]) for (const [x, y] of outer) positions.push(x, y, z);
  const tris: number[] = [];
  for (let i = 0; i < n; i++) {
    const [a, b] = [2 + i, 2 + ((i + 1) % n)];
    tris.push(0, b, a, 1, a + n, b + n, a, b, b + n, a, b + n, a + n);
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(tris));
}

interface Move {
  readonly to: Point;
  readonly speed: number;
  readonly acceleration: number;
}

/** Seconds of the whole print, start-up included. */
export function simulatePrint(prism: Prism, print: PrintSettings, machine: Machine, law: HiddenLaw): number {
  const layers = Math.round(prism.heightMm / print.layerMm);
  const kinds = new Map<string, number>();
  let total = machine.startUpS;
  for (let k = 0; k < layers; k++) {
    const closed = k < print.closingLayers || k >= layers - print.closingLayers;
    const name = `${k === 0} ${closed} ${k & 1}`;
    if (!kinds.has(name))
      kinds.set(name, layerSeconds(prism, print, { machine, law, closed, first: k === 0, odd: (k & 1) === 1 }));
    total += kinds.get(name)!;
  }
  return total;
}

interface LayerCase {
  readonly machine: Machine;
  readonly law: HiddenLaw;
  readonly closed: boolean;
  readonly first: boolean;
  readonly odd: boolean;
}

function layerSeconds(prism: Prism, print: PrintSettings, how: LayerCase): number {
  const { machine, law } = how;
  const w = print.lineMm;
  const flow = machine.maxFlowMm3S / (w * print.layerMm);
  const speed = (wanted: number): number => Math.min(how.first ? machine.firstLayerSpeedMmS : wanted, flow);
  const lines =
    prism.wallMm === null
      ? print.contourPasses
      : Math.min(2 * print.contourPasses, Math.max(1, Math.round(prism.wallMm / w)));
  const outside = prism.wallMm === null ? lines : Math.ceil(lines / 2);
  const loops: { points: Point[]; speed: number }[] = [];
  for (let i = outside; i >= 1; i--)
    loops.push({
      points: curve(prism, (i - 0.5) * w),
      speed: speed(i === 1 ? machine.outerWallSpeedMmS : machine.wallSpeedMmS),
    });
  if (prism.wallMm !== null)
    for (let i = lines - outside; i >= 1; i--)
      loops.push({
        points: curve(prism, prism.wallMm - (i - 0.5) * w),
        speed: speed(i === 1 ? machine.outerWallSpeedMmS : machine.wallSpeedMmS),
      });

  let at: Point = [0, 0];
  let seconds = machine.layerChangeS;
  const travelTo = (to: Point): void => {
    const far = Math.hypot(to[0] - at[0], to[1] - at[1]);
    if (far > 2) seconds += machine.retractionS;
    seconds += driven([{ to, speed: machine.travelSpeedMmS, acceleration: machine.travelAccelerationMmS2 }], at, law);
    at = to;
  };
  for (const loop of loops) {
    const start = nearestIndex(loop.points, at);
    const path = coarse([...loop.points.slice(start), ...loop.points.slice(0, start + 1)]);
    travelTo(path[0]!);
    seconds += driven(
      path.slice(1).map((to) => ({ to, speed: loop.speed, acceleration: machine.accelerationMmS2 })),
      at,
      law,
    );
    at = path.at(-1)!;
  }
  const left = prism.wallMm === null ? true : prism.wallMm - lines * w > 0.05;
  const share = how.closed ? 1 : print.infillPercent / 100;
  if (left && share > 0) {
    const region = [curve(prism, outside * w)];
    if (prism.wallMm !== null) region.push(curve(prism, prism.wallMm - (lines - outside) * w));
    const v = speed(how.closed ? machine.closingSpeedMmS : machine.infillSpeedMmS);
    for (const path of rasterPaths(region, w / share, how.odd)) {
      travelTo(path[0]!);
      seconds += driven(
        path.slice(1).map((to) => ({ to, speed: v, acceleration: machine.accelerationMmS2 })),
        at,
        law,
      );
      at = path.at(-1)!;
    }
  }
  return Math.max(seconds, machine.shortestLayerS);
}

/** Points kept so that none of those left out is off by more than 0.02 mm (halving, not a cone). */
function coarse(points: Point[]): Point[] {
  const keep = new Set([0, points.length - 1]);
  const look = (from: number, to: number): void => {
    const [ax, ay] = points[from]!;
    const [bx, by] = points[to]!;
    const l = Math.hypot(bx - ax, by - ay);
    let [worst, off] = [-1, 0.02];
    for (let i = from + 1; i < to; i++) {
      const [x, y] = points[i]!;
      const d = l > 1e-9 ? Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / l : Math.hypot(x - ax, y - ay);
      if (d > off) [worst, off] = [i, d];
    }
    if (worst < 0) return;
    keep.add(worst);
    look(from, worst);
    look(worst, to);
  };
  look(0, points.length - 1);
  return [...keep].sort((a, b) => a - b).map((i) => points[i]!);
}

function nearestIndex(points: readonly Point[], at: Point): number {
  let best = 0;
  for (let i = 1; i < points.length; i++)
    if (
      Math.hypot(points[i]![0] - at[0], points[i]![1] - at[1]) <
      Math.hypot(points[best]![0] - at[0], points[best]![1] - at[1])
    )
      best = i;
  return best;
}

/** Lines at 45 degrees one way or the other, chained to the nearest next end; a gap over two spacings is travelled. */
function rasterPaths(region: readonly Point[][], spacing: number, odd: boolean): Point[][] {
  const c = Math.SQRT1_2;
  const s = odd ? -c : c;
  const turned = region.map((loop) => loop.map(([x, y]): Point => [c * x + s * y, -s * x + c * y]));
  const back = ([u, v]: Point): Point => [c * u - s * v, s * u + c * v];
  const vs = turned.flat().map((p) => p[1]);
  const segments: [Point, Point][] = [];
  for (let v = Math.min(...vs) + spacing / 2; v < Math.max(...vs); v += spacing) {
    const hits: number[] = [];
    for (const loop of turned)
      for (let i = 0; i < loop.length; i++) {
        const [p, q] = [loop[i]!, loop[(i + 1) % loop.length]!];
        if (p[1] < v !== q[1] < v) hits.push(p[0] + ((v - p[1]) / (q[1] - p[1])) * (q[0] - p[0]));
      }
    hits.sort((a, b) => a - b);
    for (let i = 0; i + 1 < hits.length; i += 2) segments.push([back([hits[i]!, v]), back([hits[i + 1]!, v])]);
  }
  const paths: Point[][] = [];
  let at: Point = [0, 0];
  while (segments.length > 0) {
    let [best, flip, far] = [0, false, Infinity];
    for (const [i, [a, b]] of segments.entries()) {
      const da = Math.hypot(a[0] - at[0], a[1] - at[1]);
      const db = Math.hypot(b[0] - at[0], b[1] - at[1]);
      if (da < far) [best, flip, far] = [i, false, da];
      if (db < far) [best, flip, far] = [i, true, db];
    }
    const [a, b] = segments.splice(best, 1)[0]!;
    const pair: Point[] = flip ? [b, a] : [a, b];
    if (paths.length > 0 && far < 2 * spacing) paths.at(-1)!.push(...pair);
    else paths.push(pair);
    at = pair[1]!;
  }
  return paths;
}

/** Seconds along the moves from rest to rest. A ramp of dv lasts dv / a + a / J, or 2 sqrt(dv / J) when short. */
function driven(moves: readonly Move[], from: Point, law: HiddenLaw): number {
  const lengths: number[] = [];
  const dirs: Point[] = [];
  const used: Move[] = [];
  let at = from;
  for (const move of moves) {
    const d = Math.hypot(move.to[0] - at[0], move.to[1] - at[1]);
    if (d < 1e-9) continue;
    lengths.push(d);
    dirs.push([(move.to[0] - at[0]) / d, (move.to[1] - at[1]) / d]);
    used.push(move);
    at = move.to;
  }
  const n = used.length;
  const speeds = new Array<number>(n + 1).fill(0);
  for (let i = 1; i < n; i++) {
    const step = Math.hypot(dirs[i]![0] - dirs[i - 1]![0], dirs[i]![1] - dirs[i - 1]![1]);
    speeds[i] = Math.min(used[i]!.speed, used[i - 1]!.speed, step > 0 ? law.stepMmS / step : Infinity);
  }
  for (let i = n - 1; i >= 0; i--)
    speeds[i] = Math.min(speeds[i]!, reachable(speeds[i + 1]!, lengths[i]!, used[i]!, law));
  for (let i = 0; i < n; i++)
    speeds[i + 1] = Math.min(speeds[i + 1]!, reachable(speeds[i]!, lengths[i]!, used[i]!, law));
  let seconds = 0;
  for (let i = 0; i < n; i++) seconds += crossing(lengths[i]!, speeds[i]!, speeds[i + 1]!, { move: used[i]!, law });
  return seconds;
}

function rampSeconds(dv: number, a: number, jerk: number): number {
  return dv >= (a * a) / jerk ? dv / a + a / jerk : 2 * Math.sqrt(dv / jerk);
}

function reachable(v: number, d: number, move: Move, law: HiddenLaw): number {
  let [low, high] = [v, Math.max(v, move.speed)];
  for (let i = 0; i < 30; i++) {
    const mid = (low + high) / 2;
    if (((v + mid) / 2) * rampSeconds(mid - v, move.acceleration, law.jerkMmS3) <= d) low = mid;
    else high = mid;
  }
  return low;
}

function crossing(d: number, v0: number, v1: number, by: { move: Move; law: HiddenLaw }): number {
  const { move, law } = by;
  const ramp = (dv: number): number => rampSeconds(dv, move.acceleration, law.jerkMmS3);
  const need = (v: number): number => ((v + v0) / 2) * ramp(v - v0) + ((v + v1) / 2) * ramp(v - v1);
  let [low, high] = [Math.max(v0, v1), Math.max(v0, v1, move.speed)];
  for (let i = 0; i < 40; i++) {
    const mid = (low + high) / 2;
    if (need(mid) <= d) low = mid;
    else high = mid;
  }
  return ramp(low - v0) + ramp(low - v1) + Math.max(0, d - need(low)) / Math.max(low, 1e-9);
}
