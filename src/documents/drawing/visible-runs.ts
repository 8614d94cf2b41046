// Cuts lines that lie on the model into what is seen and what is hidden, by sampling them against the depth raster.
import type { DepthRaster } from './depth-raster.ts';

export interface Run {
  /** x y x y ... on paper, mm. */
  readonly points: Float32Array;
  readonly hidden: boolean;
}

export interface VisibilityOptions {
  /** How far behind the nearest surface a point may lie and still be seen, paper mm. */
  readonly biasMm: number;
  /** Pixels where nothing more is drawn (beside heavier lines): 1 each. */
  readonly taken: Uint8Array;
  /** Changes shorter than this are passed over, so that lines do not flicker. */
  readonly shortestMm: number;
}

/** line: paper x, y, depth of its corners. Seen where one of the 3 x 3 pixels around is not nearer than the point less the bias.
 *  Cost: O(length in pixels). */
export function visibleRuns(raster: DepthRaster, line: Float32Array, options: VisibilityOptions): Run[] {
  const samples = sampled(line, raster.pixelMm * 1.5);
  const n = samples.length / 3;
  const state = new Uint8Array(n);
  for (let i = 0; i < n; i++) state[i] = stateAt(raster, samples, { i, options });
  bridge(state, Math.max(1, Math.round(options.shortestMm / (raster.pixelMm * 1.5))));
  const runs: Run[] = [];
  let from = 0;
  for (let i = 1; i <= n; i++) {
    if (i < n && state[i] === state[from]) continue;
    if (state[from] !== TAKEN && i - from > 1)
      runs.push({ points: flat(samples, from, i), hidden: state[from] === HIDDEN });
    from = i;
  }
  return runs;
}

const SEEN = 0;
const HIDDEN = 1;
const TAKEN = 2;

function stateAt(raster: DepthRaster, samples: Float32Array, at: { i: number; options: VisibilityOptions }): number {
  const { width, height, pixelMm, depth } = raster;
  const px = Math.floor(samples[at.i * 3]! / pixelMm);
  const py = Math.floor(samples[at.i * 3 + 1]! / pixelMm);
  const nearest = samples[at.i * 3 + 2]! - at.options.biasMm;
  if (px < 0 || py < 0 || px >= width || py >= height) return SEEN;
  let seen = false;
  for (let y = Math.max(0, py - 1); y <= Math.min(height - 1, py + 1); y++)
    for (let x = Math.max(0, px - 1); x <= Math.min(width - 1, px + 1); x++)
      if (depth[y * width + x]! >= nearest) seen = true;
  if (!seen) return HIDDEN;
  return at.options.taken[py * width + px] === 1 ? TAKEN : SEEN;
}

/** Gives stretches shorter than `shortest` samples the state of what comes before them. */
function bridge(state: Uint8Array, shortest: number): void {
  let from = 0;
  for (let i = 1; i <= state.length; i++) {
    if (i < state.length && state[i] === state[from]) continue;
    if (i - from < shortest && from > 0) state.fill(state[from - 1]!, from, i);
    from = i;
  }
}

function sampled(line: Float32Array, stepMm: number): Float32Array {
  const out: number[] = [];
  for (let i = 3; i < line.length; i += 3) {
    const dx = line[i]! - line[i - 3]!;
    const dy = line[i + 1]! - line[i - 2]!;
    const dz = line[i + 2]! - line[i - 1]!;
    const steps = Math.max(1, Math.ceil(Math.hypot(dx, dy) / stepMm));
    for (let k = i === 3 ? 0 : 1; k <= steps; k++) {
      const f = k / steps;
      out.push(line[i - 3]! + dx * f, line[i - 2]! + dy * f, line[i - 1]! + dz * f);
    }
  }
  return Float32Array.from(out);
}

function flat(samples: Float32Array, from: number, to: number): Float32Array {
  const out = new Float32Array((to - from) * 2);
  for (let i = from; i < to; i++) {
    out[(i - from) * 2] = samples[i * 3]!;
    out[(i - from) * 2 + 1] = samples[i * 3 + 1]!;
  }
  return out;
}
