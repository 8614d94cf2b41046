// What a printer's time and material depend on, layer by layer: area, contour length, loops, and the moves along contours.
import { QUIET_WORK, type Work } from '../base/work.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { MoveList } from './contour-moves.ts';
import { type LayerContours, layerContours } from './layer-sweep.ts';
import { sectionByPlane } from './plane-section.ts';

export interface LayerMeasureOptions {
  /** Height of the first layer, mm; the others are `stepMm` high. The mesh stands on z = 0. */
  readonly firstMm: number;
  readonly stepMm: number;
  /** Contour points that lie on a line within this are merged to one move, mm. */
  readonly mergeMm: number;
}

/** Layer k fills bottomMm[k] .. bottomMm[k + 1] and is measured in the middle, at middleMm[k]. */
export interface LayerMeasures {
  readonly numLayers: number;
  /** numLayers + 1. */
  readonly bottomMm: Float64Array;
  readonly middleMm: Float64Array;
  readonly areaMm2: Float64Array;
  readonly lengthMm: Float64Array;
  /** Outer contours, and holes in them. */
  readonly numOuter: Uint32Array;
  readonly numHoles: Uint32Array;
  /** Length the contours lose for each mm they are drawn inward: 2 pi (outer contours - holes) when smooth. */
  readonly insetLoss: Float64Array;
  /** Length of a shortest tree between the centroids of all contours. */
  readonly linkMm: Float64Array;
  /** Root mean square distance of the contours from their common centroid. */
  readonly spreadMm: Float64Array;
  /** Loops of layer k: layerLoop[k] .. layerLoop[k + 1] - 1; moves of loop i: loopStart[i] .. loopStart[i + 1] - 1. */
  readonly layerLoop: Uint32Array;
  readonly loopStart: Uint32Array;
  readonly moves: { readonly lengthMm: Float64Array; readonly bend: Float64Array };
}

/** Measures every layer whose middle meets a closed mesh standing on z = 0.
 *  Space: laid, mm. Nothing depends on how the mesh is turned about z. Cost: O(n + k + m), docs/methods/layer-measures.md.
 *  Law: the mesh is closed. Weak: faces in the plane of a layer's middle (half-open rule of plane-section). */
export function layerMeasures(mesh: Mesh, options: LayerMeasureOptions, work: Work = QUIET_WORK): LayerMeasures {
  const builder = new LayerBuilder(options.mergeMm);
  const { firstMm, stepMm } = options;
  if (firstMm === stepMm) {
    for (const layer of layerContours(mesh, { firstMm: firstMm / 2, stepMm }, work)) builder.addLayer(layer);
  } else {
    const section = sectionByPlane(mesh, { normal: [0, 0, 1], offsetMm: firstMm / 2 });
    if (section.loops.length > 0) {
      builder.addLayer(joinLoops(section.loops));
      for (const layer of layerContours(mesh, { firstMm: firstMm + stepMm / 2, stepMm }, work)) builder.addLayer(layer);
    }
  }
  return builder.finish(firstMm, stepMm);
}

type LoopSet = Pick<LayerContours, 'points' | 'loopStart'>;

function joinLoops(loops: readonly Float64Array[]): LoopSet {
  const loopStart = new Uint32Array(loops.length + 1);
  for (const [i, loop] of loops.entries()) loopStart[i + 1] = loopStart[i]! + loop.length / 2;
  const points = new Float64Array(loopStart[loops.length]! * 2);
  for (const [i, loop] of loops.entries()) points.set(loop, loopStart[i]! * 2);
  return { points, loopStart };
}

class LayerBuilder {
  private readonly list: MoveList;
  private readonly area: number[] = [];
  private readonly length: number[] = [];
  private readonly outer: number[] = [];
  private readonly holes: number[] = [];
  private readonly loss: number[] = [];
  private readonly link: number[] = [];
  private readonly spread: number[] = [];
  private readonly layerLoop: number[] = [0];

  constructor(mergeMm: number) {
    this.list = new MoveList(mergeMm);
  }

  addLayer({ points, loopStart }: LoopSet): void {
    const numLoops = loopStart.length - 1;
    const centres = new Float64Array(numLoops * 2);
    let [area, length, outer, holes, loss] = [0, 0, 0, 0, 0];
    let [sumX, sumY, sumSquares] = [0, 0, 0];
    const x0 = points[0] ?? 0;
    const y0 = points[1] ?? 0;
    for (let i = 0; i < numLoops; i++) {
      const loop = measureLoop(points, loopStart[i]!, loopStart[i + 1]!, [x0, y0]);
      loss += this.list.addLoop(points, loopStart[i]!, loopStart[i + 1]!);
      area += loop.area;
      length += loop.length;
      if (loop.area > 0) outer++;
      else if (loop.area < 0) holes++;
      sumX += loop.sumX;
      sumY += loop.sumY;
      sumSquares += loop.sumSquares;
      centres[i * 2] = loop.length > 0 ? loop.sumX / loop.length : 0;
      centres[i * 2 + 1] = loop.length > 0 ? loop.sumY / loop.length : 0;
    }
    const spread =
      length > 0 ? Math.sqrt(Math.max(0, sumSquares / length - (sumX / length) ** 2 - (sumY / length) ** 2)) : 0;
    this.area.push(area);
    this.length.push(length);
    this.outer.push(outer);
    this.holes.push(holes);
    this.loss.push(loss);
    this.link.push(treeLength(centres, spread));
    this.spread.push(spread);
    this.layerLoop.push(this.list.numLoops);
  }

  finish(firstMm: number, stepMm: number): LayerMeasures {
    const numLayers = this.area.length;
    const bottomMm = Float64Array.from({ length: numLayers + 1 }, (_, k) => (k === 0 ? 0 : firstMm + (k - 1) * stepMm));
    const middleMm = Float64Array.from({ length: numLayers }, (_, k) => (bottomMm[k]! + bottomMm[k + 1]!) / 2);
    const { lengthMm, bend, loopStart } = this.list.moves();
    return {
      numLayers,
      bottomMm,
      middleMm,
      areaMm2: Float64Array.from(this.area),
      lengthMm: Float64Array.from(this.length),
      numOuter: Uint32Array.from(this.outer),
      numHoles: Uint32Array.from(this.holes),
      insetLoss: Float64Array.from(this.loss),
      linkMm: Float64Array.from(this.link),
      spreadMm: Float64Array.from(this.spread),
      layerLoop: Uint32Array.from(this.layerLoop),
      loopStart,
      moves: { lengthMm, bend },
    };
  }
}

/** Signed area, length, and the moments of length about `origin` of one closed loop. */
function measureLoop(points: Float64Array, from: number, to: number, origin: readonly [number, number]) {
  const [x0, y0] = origin;
  let [twice, length, sumX, sumY, sumSquares] = [0, 0, 0, 0, 0];
  let px = points[to * 2 - 2]! - x0;
  let py = points[to * 2 - 1]! - y0;
  for (let i = from; i < to; i++) {
    const qx = points[i * 2]! - x0;
    const qy = points[i * 2 + 1]! - y0;
    const dx = qx - px;
    const dy = qy - py;
    const d = Math.sqrt(dx * dx + dy * dy);
    const mx = (px + qx) / 2;
    const my = (py + qy) / 2;
    twice += px * dy - py * dx;
    length += d;
    sumX += d * mx;
    sumY += d * my;
    sumSquares += d * (mx * mx + my * my + (d * d) / 12);
    px = qx;
    py = qy;
  }
  return { area: twice / 2, length, sumX, sumY, sumSquares };
}

const MOST_PRIM = 96;

/** Length of a shortest spanning tree of the points (Prim, O(n^2)); above 96 points 0.65 sqrt(n * area), the mean for points
 *  strewn evenly over the circle of the same spread. */
function treeLength(centres: Float64Array, spreadMm: number): number {
  const num = centres.length / 2;
  if (num > MOST_PRIM) return 0.65 * Math.sqrt(num * 2 * Math.PI) * spreadMm;
  const near = new Float64Array(num).fill(Infinity);
  let total = 0;
  let at = 0;
  for (let joined = 1; joined < num; joined++) {
    near[at] = -1;
    let best = -1;
    for (let i = 0; i < num; i++) {
      if (near[i]! < 0) continue;
      const dx = centres[i * 2]! - centres[at * 2]!;
      const dy = centres[i * 2 + 1]! - centres[at * 2 + 1]!;
      near[i] = Math.min(near[i]!, dx * dx + dy * dy);
      if (best < 0 || near[i]! < near[best]!) best = i;
    }
    total += Math.sqrt(near[best]!);
    at = best;
  }
  return total;
}
