// A separate judge of prints of any mesh: its own sections, passes and fillings by polygons of the solid kernel, every move under a hidden law.
// Shares nothing with the program but the machine's numbers and the maker's settings.
import type { CrossSection, ManifoldToplevel } from 'manifold-3d';
import type { Mesh } from '../../src/mesh/mesh.ts';
import type { Machine } from '../../src/workshop/process/machine.ts';
import type { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { driven, type HiddenLaw, type Point } from './move-clock.ts';
import { coarse, nearestIndex, rasterPaths } from './raster-lines.ts';

type Kind = 'outer' | 'wall' | 'infill' | 'closing' | 'support';

interface Line {
  readonly kind: Kind;
  readonly points: readonly Point[];
}

export type LayerPaths = readonly Line[];

/** What a machine really does. */
export interface HiddenMachine {
  readonly machine: Machine;
  readonly law: HiddenLaw;
}

/** The lines of a mesh that stands on z = 0, layer by layer. */
export function pathsOf(mesh: Mesh, print: PrintSettings, module: ManifoldToplevel): LayerPaths[] {
  const { CrossSection } = module;
  const made: CrossSection[] = [];
  const keep = (section: CrossSection): CrossSection => {
    made.push(section);
    return section;
  };
  const w = print.lineMm;
  const loops = sectionLoops(mesh, print);
  const sections = loops.map((polygons) => {
    const whole = keep(new CrossSection(polygons as [number, number][][], 'EvenOdd'));
    return keep(whole.simplify(0.01));
  });
  const inset = (section: CrossSection, mm: number): CrossSection => keep(section.offset(-mm, 'Miter', 2));
  /** Without what is narrower than a line: nobody lays lines across a sliver. */
  const wide = (section: CrossSection, mm: number): CrossSection =>
    keep(keep(section.offset(-mm / 2, 'Miter', 2)).offset(mm / 2, 'Miter', 2));
  const covered = (k: number, way: 1 | -1): CrossSection | null => {
    let all: CrossSection | null = null;
    for (let j = 1; j <= print.closingLayers; j++) {
      const other = sections[k + way * j];
      if (other === undefined) return null;
      all = all === null ? other : keep(all.intersect(other));
    }
    return all;
  };
  const supports = supportsOf(sections, print, keep);
  const layers = sections.map((section, k): LayerPaths => {
    const rounds: Line[] = [];
    for (let i = print.contourPasses; i >= 1; i--)
      for (const points of polygonsOf(inset(section, (i - 0.5) * w)))
        rounds.push({ kind: i === 1 ? 'outer' : 'wall', points: coarse([...points, points[0]!]) });
    const lines = nearestNext(rounds);
    const filled = inset(section, print.contourPasses * w);
    const [above, below] = [covered(k, 1), covered(k, -1)];
    const inside = above === null || below === null ? null : keep(above.intersect(below));
    const isAll = print.closingLayers > 0 && inside === null;
    const closing = isAll ? filled : inside === null ? null : wide(keep(filled.subtract(inside)), w);
    const infill = isAll ? null : closing === null ? filled : keep(filled.subtract(closing));
    const fill = (kind: Kind, region: CrossSection | null, percent: number): void => {
      if (region === null || percent <= 0 || region.area() < 0.05) return;
      for (const points of rasterPaths(polygonsOf(region), (w * 100) / percent, (k & 1) === 1))
        lines.push({ kind, points });
    };
    fill('closing', closing, 100);
    fill('infill', infill, print.infillPercent);
    const support = supports[k] ?? null;
    fill('support', support === null ? null : wide(support, w), print.supportPercent);
    return lines;
  });
  for (const section of made) section.delete();
  return layers;
}

/** Seconds of the whole print, start-up included. */
export function secondsOf(layers: readonly LayerPaths[], print: PrintSettings, hidden: HiddenMachine): number {
  const { machine, law } = hidden;
  const speeds: Readonly<Record<Kind, number>> = {
    outer: machine.outerWallSpeedMmS,
    wall: machine.wallSpeedMmS,
    infill: machine.infillSpeedMmS,
    closing: machine.closingSpeedMmS,
    support: machine.supportSpeedMmS,
  };
  let at: Point = [0, 0];
  let total = machine.startUpS;
  for (const [k, lines] of layers.entries()) {
    const flow = machine.maxFlowMm3S / (print.lineMm * (k === 0 ? print.firstLayerMm : print.layerMm));
    let seconds = machine.layerChangeS;
    for (const { kind, points } of lines) {
      if (points.length < 2) continue;
      const to = points[0]!;
      if (Math.hypot(to[0] - at[0], to[1] - at[1]) > 2) seconds += machine.retractionS;
      seconds += driven([{ to, speed: machine.travelSpeedMmS, acceleration: machine.travelAccelerationMmS2 }], at, law);
      const speed = Math.min(k === 0 ? machine.firstLayerSpeedMmS : speeds[kind], flow);
      const moves = points.slice(1).map((next) => ({ to: next, speed, acceleration: machine.accelerationMmS2 }));
      seconds += driven(moves, to, law);
      at = points.at(-1)!;
    }
    total += Math.max(seconds, machine.shortestLayerS);
  }
  return total;
}

/** Loops in the order in which each is begun at its nearest place: so the passes of one island follow each other. */
function nearestNext(rounds: readonly Line[]): Line[] {
  const left = [...rounds];
  const ordered: Line[] = [];
  let at: Point = left[0]?.points[0] ?? [0, 0];
  while (left.length > 0) {
    let [best, start, far] = [0, 0, Infinity];
    for (const [i, { points }] of left.entries()) {
      const nearest = nearestIndex(points, at);
      const apart = Math.hypot(points[nearest]![0] - at[0], points[nearest]![1] - at[1]);
      if (apart < far) [best, start, far] = [i, nearest, apart];
    }
    const { kind, points } = left.splice(best, 1)[0]!;
    const begun = [...points.slice(start, -1), ...points.slice(0, start), points[start]!];
    ordered.push({ kind, points: begun });
    at = points[start]!;
  }
  return ordered;
}

function polygonsOf(section: CrossSection): Point[][] {
  return section.toPolygons().filter((points) => points.length > 2) as unknown as Point[][];
}

/** From the top down: what stood on support above, and what leans out too far over the layer below, less the layer itself. */
function supportsOf(
  sections: readonly CrossSection[],
  print: PrintSettings,
  keep: (section: CrossSection) => CrossSection,
): (CrossSection | null)[] {
  const reach = print.layerMm * Math.tan((print.overhangLimitDeg * Math.PI) / 180);
  const supports: (CrossSection | null)[] = sections.map(() => null);
  for (let k = sections.length - 2; k >= 0; k--) {
    const [own, above] = [sections[k]!, sections[k + 1]!];
    const leaning = keep(above.subtract(keep(own.offset(reach, 'Round', 2, 16))));
    const whole = leaning.isEmpty() ? null : keep(keep(leaning.offset(reach, 'Round', 2, 16)).intersect(above));
    const stood = supports[k + 1] ?? null;
    const held = whole === null ? stood : stood === null ? whole : keep(whole.add(stood));
    if (held === null) continue;
    const free = keep(keep(held.subtract(own)).simplify(0.05));
    supports[k] = free.isEmpty() ? null : free;
  }
  return supports;
}

/** Closed outlines in the middle of every layer, triangle by triangle, joined at the mesh's edges. */
function sectionLoops(mesh: Mesh, print: PrintSettings): Point[][][] {
  const { positions: p, triangles } = mesh;
  let top = 0;
  for (let i = 2; i < p.length; i += 3) top = Math.max(top, p[i]!);
  const middles: number[] = [];
  for (let z = print.firstLayerMm / 2, k = 0; z < top; k++) {
    middles.push(z);
    z = print.firstLayerMm + (k + 0.5) * print.layerMm;
  }
  const next = middles.map(() => new Map<string, { to: string; at: Point }>());
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!] as const;
    const heights = corners.map((v) => p[3 * v + 2]!);
    const [low, high] = [Math.min(...heights), Math.max(...heights)];
    const from = Math.max(0, Math.ceil((low - print.firstLayerMm) / print.layerMm - 0.5) - 1);
    for (let k = from; k < middles.length && middles[k]! < high; k++) {
      const z = middles[k]!;
      if (z <= low) continue;
      let [start, end]: [{ key: string; at: Point } | null, { key: string; at: Point } | null] = [null, null];
      for (let side = 0; side < 3; side++) {
        const [a, b] = [corners[side]!, corners[(side + 1) % 3]!];
        const [za, zb] = [p[3 * a + 2]!, p[3 * b + 2]!];
        if (za < z === zb < z) continue;
        const share = (z - za) / (zb - za);
        const at: Point = [
          p[3 * a]! + share * (p[3 * b]! - p[3 * a]!),
          p[3 * a + 1]! + share * (p[3 * b + 1]! - p[3 * a + 1]!),
        ];
        const met = { key: `${Math.min(a, b)}-${Math.max(a, b)}`, at };
        if (za < z) start = met;
        else end = met;
      }
      if (start !== null && end !== null) next[k]!.set(end.key, { to: start.key, at: end.at });
    }
  }
  return next.map(chained);
}

function chained(next: Map<string, { to: string; at: Point }>): Point[][] {
  const loops: Point[][] = [];
  while (next.size > 0) {
    const loop: Point[] = [];
    let key = next.keys().next().value as string;
    for (let here = next.get(key); here !== undefined; here = next.get(key)) {
      loop.push(here.at);
      next.delete(key);
      key = here.to;
    }
    if (loop.length > 2) loops.push(loop);
  }
  return loops;
}
