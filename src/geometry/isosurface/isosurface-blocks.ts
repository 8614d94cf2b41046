// Where the surface runs: samples of the field in blocks of cells along it, and nowhere else.
import { invariant } from '../../base/invariant.ts';
import type { Work } from '../../base/work.ts';
import { NONE, type Vec3 } from '../../mesh/mesh.ts';
import type { Field, IsosurfaceOptions } from './isosurface-field.ts';

/** Cells along a block, samples along a block, cells and samples in a block. */
export const SIDE = 8;
export const POINTS = SIDE + 1;
export const BLOCK_CELLS = SIDE ** 3;
export const BLOCK_POINTS = POINTS ** 3;

export interface Grid {
  readonly originMm: Vec3;
  readonly cellMm: number;
  /** Blocks along x, y, z. */
  readonly numBlocks: readonly [number, number, number];
}

export interface Blocks {
  readonly grid: Grid;
  /** numBlocks: index of the block among those kept, or NONE. */
  readonly keptAt: Int32Array;
  /** Per kept block, its place: x + nx * (y + ny * z). */
  readonly place: Int32Array;
  /** Per kept block, 9^3 values of the field, x fastest. */
  readonly samples: readonly Float32Array[];
}

/** Blocks whose middle lies near enough to the surface, then every block into which the surface runs on from those: so the
 *  surface ends nowhere even where the slope of the field was underestimated. Cost: one value a block, 729 a kept block. */
export function findBlocks(field: Field, options: IsosurfaceOptions, work: Work): Blocks {
  const grid = layGrid(options);
  const [nx, ny, nz] = grid.numBlocks;
  const keptAt = new Int32Array(nx * ny * nz).fill(NONE);
  const queue = nearBlocks(field, grid, options.steepest);
  const place: number[] = [];
  const samples: Float32Array[] = [];
  const queued = new Uint8Array(nx * ny * nz);
  for (const at of queue) queued[at] = 1;
  for (let i = 0; i < queue.length; i++) {
    if ((i & 63) === 0) work.tick(i / queue.length, 'sampling the shape');
    const at = queue[i]!;
    const values = knownBorders(grid, at, { keptAt, samples });
    sampleBlock(field, grid, at, values);
    const ways = openFaces(values);
    if (ways === NOT_CROSSED) continue;
    keptAt[at] = place.length;
    place.push(at);
    samples.push(values);
    for (let face = 0; face < 6; face++) {
      if (((ways >> face) & 1) === 0) continue;
      const next = neighbour(grid, at, face);
      invariant(next !== NONE, 'the surface stays within the bounds given');
      if (queued[next] === 0) {
        queued[next] = 1;
        queue.push(next);
      }
    }
  }
  return { grid, keptAt, place: Int32Array.from(place), samples };
}

/** Cells straddle x = 0; along y and z the grid is shifted by an odd share of a cell so that flat faces rarely lie in it. */
export function layGrid({ within, cellMm }: Pick<IsosurfaceOptions, 'within' | 'cellMm'>): Grid {
  const reach = Math.max(Math.abs(within.minMm[0]), Math.abs(within.maxMm[0]));
  const halfBlocks = Math.ceil((reach / cellMm + 2) / SIDE);
  const count = (axis: 1 | 2): number => Math.ceil(((within.maxMm[axis] - within.minMm[axis]) / cellMm + 4) / SIDE);
  return {
    originMm: [-(halfBlocks * SIDE - 0.5) * cellMm, within.minMm[1] - 1.618 * cellMm, within.minMm[2] - 1.382 * cellMm],
    cellMm,
    numBlocks: [2 * halfBlocks, count(1), count(2)],
  };
}

function nearBlocks(field: Field, grid: Grid, steepest: number): number[] {
  const [nx, ny, nz] = grid.numBlocks;
  const [ox, oy, oz] = grid.originMm;
  const side = SIDE * grid.cellMm;
  const reach = ((Math.sqrt(3) * side) / 2) * steepest;
  const out: number[] = [];
  for (let k = 0; k < nz; k++) {
    for (let j = 0; j < ny; j++) {
      for (let i = 0; i < nx; i++) {
        const value = field(ox + (i + 0.5) * side, oy + (j + 0.5) * side, oz + (k + 0.5) * side);
        if (Math.abs(value) <= reach) out.push(i + nx * (j + ny * k));
      }
    }
  }
  return out;
}

/** A block's values, those on its faces taken from kept neighbours, the others unknown (NaN). */
function knownBorders(
  grid: Grid,
  at: number,
  known: { keptAt: Int32Array; samples: readonly Float32Array[] },
): Float32Array {
  const values = new Float32Array(BLOCK_POINTS).fill(Number.NaN);
  for (let face = 0; face < 6; face++) {
    const next = neighbour(grid, at, face);
    const kept = next === NONE ? NONE : known.keptAt[next]!;
    if (kept === NONE) continue;
    const axis = face >> 1;
    const from = known.samples[kept]!;
    const here = (face & 1) * SIDE * FACE_STEPS[axis]!;
    const there = (1 - (face & 1)) * SIDE * FACE_STEPS[axis]!;
    const first = FACE_STEPS[(axis + 1) % 3]!;
    const second = FACE_STEPS[(axis + 2) % 3]!;
    for (let b = 0; b < POINTS; b++) {
      for (let a = 0; a < POINTS; a++) values[here + a * first + b * second] = from[there + a * first + b * second]!;
    }
  }
  return values;
}

function sampleBlock(field: Field, grid: Grid, at: number, values: Float32Array): void {
  const { cellMm } = grid;
  const [i0, j0, k0] = firstCell(grid, at);
  const [ox, oy, oz] = grid.originMm;
  let n = 0;
  for (let k = 0; k < POINTS; k++) {
    const z = oz + (k0 + k) * cellMm;
    for (let j = 0; j < POINTS; j++) {
      const y = oy + (j0 + j) * cellMm;
      for (let i = 0; i < POINTS; i++, n++) {
        if (Number.isNaN(values[n]!)) values[n] = field(ox + (i0 + i) * cellMm, y, z);
      }
    }
  }
}

/** Lowest cell of the block at a place. */
export function firstCell(grid: Grid, at: number): [number, number, number] {
  const [nx, ny] = grid.numBlocks;
  return [(at % nx) * SIDE, (Math.trunc(at / nx) % ny) * SIDE, Math.trunc(at / (nx * ny)) * SIDE];
}

/** Place of the block beyond a face (2 * axis + side), or NONE outside the grid. */
export function neighbour(grid: Grid, at: number, face: number): number {
  const [nx, ny, nz] = grid.numBlocks;
  const axis = face >> 1;
  const step = axis === 0 ? 1 : axis === 1 ? nx : nx * ny;
  const along = Math.trunc(at / step) % (axis === 0 ? nx : axis === 1 ? ny : nz);
  const last = (axis === 0 ? nx : axis === 1 ? ny : nz) - 1;
  if ((face & 1) === 0) return along === 0 ? NONE : at - step;
  return along === last ? NONE : at + step;
}

const NOT_CROSSED = -1;
const FACE_STEPS = [1, POINTS, POINTS * POINTS] as const;

/** Bit per face on which the field changes sign; NOT_CROSSED when it does not change within the block at all. */
function openFaces(values: Float32Array): number {
  const inside = values[0]! < 0;
  let crossed = false;
  for (let n = 1; n < BLOCK_POINTS && !crossed; n++) crossed = values[n]! < 0 !== inside;
  if (!crossed) return NOT_CROSSED;
  let ways = 0;
  for (let face = 0; face < 6; face++) {
    const axis = face >> 1;
    const base = (face & 1) * SIDE * FACE_STEPS[axis]!;
    const first = FACE_STEPS[(axis + 1) % 3]!;
    const second = FACE_STEPS[(axis + 2) % 3]!;
    if (isMixed(values, base, { first, second })) ways |= 1 << face;
  }
  return ways;
}

function isMixed(values: Float32Array, base: number, step: { first: number; second: number }): boolean {
  const inside = values[base]! < 0;
  for (let b = 0; b < POINTS; b++) {
    for (let a = 0; a < POINTS; a++) if (values[base + a * step.first + b * step.second]! < 0 !== inside) return true;
  }
  return false;
}
