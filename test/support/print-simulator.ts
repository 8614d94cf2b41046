// A separate judge of print times: upright prisms, every move of every layer, jerk-limited ramps and corners by a speed step.
// Shares nothing with the program but the machine's numbers.
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import type { Machine } from '../../src/workshop/process/machine.ts';
import type { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { driven, type HiddenLaw, type Point } from './move-clock.ts';
import { ring } from './printing-shapes.ts';
import { coarse, nearestIndex, rasterPaths } from './raster-lines.ts';

/** A prism over a smooth closed curve round the origin; with wallMm it is a wall that thick, else solid. */
export interface Prism {
  readonly radiusMm: number;
  readonly waves: readonly (readonly [number, number, number])[];
  readonly wallMm: number | null;
  readonly heightMm: number;
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
