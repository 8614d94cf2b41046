// Lines between pixels where what is seen changes: outlines, folds that hide something, and joints between parts.
import type { DepthRaster } from './depth-raster.ts';

/** 0 none; else one of these, with the part it belongs to above the two lowest bits. */
export const OUTLINE = 1;
export const FOLD = 2;
export const JOINT = 3;

/** Edges of the pixel lattice. down: between pixel (x-1,y) and (x,y), (width+1) a row. across: between (x,y-1) and (x,y), width a row. */
export interface RasterEdges {
  readonly down: Uint16Array;
  readonly across: Uint16Array;
}

/** Tells edges by comparing neighbours: nothing beside something, or another part with a step in depth, is an outline; a step
 *  within one part is a fold; two parts without a step are a joint. A step is what neither pixel's own slope explains.
 *  Cost: O(pixels). */
export function rasterEdges(raster: DepthRaster, stepMm: number): RasterEdges {
  const { width, height, tri } = raster;
  const down = new Uint16Array((width + 1) * height);
  const across = new Uint16Array(width * (height + 1));
  // most pixels see what their neighbours see
  for (let y = 0; y < height; y++)
    for (let x = 0, at = y * width; x < width; x++, at++) {
      const seen = tri[at]!;
      if (x > 0 && tri[at - 1] !== seen)
        down[y * (width + 1) + x] = edgeBetween(raster, at - 1, { next: at, axis: 0, stepMm });
      if (y > 0 && tri[at - width] !== seen)
        across[at] = edgeBetween(raster, at - width, { next: at, axis: 1, stepMm });
    }
  return { down, across };
}

const STEEPEST = 12;
/** Towards a rim the surface falls away ever faster, and a pixel's slope no longer foretells the next one. There the farther of
 *  two pixels is itself steep, while behind a true fold lies a surface that mostly is not. */
const FALLING_AWAY = 5;

/** How much of a rise in depth a slope does not explain, paper mm. */
function unexplained(rise: number, slope: number, raster: DepthRaster): number {
  return Math.abs(rise - Math.max(-STEEPEST, Math.min(STEEPEST, slope)) * raster.pixelMm);
}

/** Between two pixels that see different triangles, or one of them nothing. */
function edgeBetween(raster: DepthRaster, at: number, to: { next: number; axis: 0 | 1; stepMm: number }): number {
  const a = raster.tri[at]!;
  const b = raster.tri[to.next]!;
  if (b < 0) return OUTLINE | (raster.partOfTri[a]! << 2);
  if (a < 0) return OUTLINE | (raster.partOfTri[b]! << 2);
  const za = raster.depth[at]!;
  const zb = raster.depth[to.next]!;
  const partA = raster.partOfTri[a]!;
  const partB = raster.partOfTri[b]!;
  const slopeA = raster.slopes[a * 2 + to.axis]!;
  const slopeB = raster.slopes[b * 2 + to.axis]!;
  const rise = zb - za;
  const step = Math.min(unexplained(rise, slopeA, raster), unexplained(rise, slopeB, raster)) > to.stepMm;
  const owner = (za < zb ? partA : partB) << 2;
  if (partA !== partB) return step ? OUTLINE | owner : JOINT | (Math.min(partA, partB) << 2);
  const slopeOfFarther = rise > 0 ? slopeB : -slopeA;
  return step && slopeOfFarther < FALLING_AWAY ? FOLD | owner : 0;
}

export interface RasterLine {
  readonly kind: typeof OUTLINE | typeof FOLD | typeof JOINT;
  readonly part: number;
  /** Middles of the lattice edges it runs along, in pixels: x y x y ... */
  readonly points: Float32Array;
  readonly closed: boolean;
}

/** Joins edges of one kind and part to long lines; ends where three or more meet. Uses up (zeroes) the edges.
 *  Cost: O(pixels + edges). */
export function traceEdges(raster: DepthRaster, edges: RasterEdges): RasterLine[] {
  const lines: RasterLine[] = [];
  const { width, height } = raster;
  const { down, across } = edges;
  const trace: Trace = { ...edges, width, height };
  for (let y = 0; y <= height; y++)
    for (let x = 0; x <= width; x++) {
      if (y < height && down[y * (width + 1) + x] !== 0) lines.push(lineFrom(trace, x, y, 1));
      if (x < width && across[y * width + x] !== 0) lines.push(lineFrom(trace, x, y, 0));
    }
  return lines;
}

interface Trace extends RasterEdges {
  readonly width: number;
  readonly height: number;
}

// Directions: 0 right, 1 down, 2 left, 3 up.
function codeAt(t: Trace, x: number, y: number, direction: number): number {
  if (direction === 0) return x < t.width ? t.across[y * t.width + x]! : 0;
  if (direction === 1) return y < t.height ? t.down[y * (t.width + 1) + x]! : 0;
  if (direction === 2) return x > 0 ? t.across[y * t.width + x - 1]! : 0;
  return y > 0 ? t.down[(y - 1) * (t.width + 1) + x]! : 0;
}

function erase(t: Trace, x: number, y: number, direction: number): void {
  if (direction === 0) t.across[y * t.width + x] = 0;
  else if (direction === 1) t.down[y * (t.width + 1) + x] = 0;
  else if (direction === 2) t.across[y * t.width + x - 1] = 0;
  else t.down[(y - 1) * (t.width + 1) + x] = 0;
}

function lineFrom(t: Trace, x: number, y: number, direction: number): RasterLine {
  const code = codeAt(t, x, y, direction);
  const forward: number[] = [];
  const end = walk(t, { x, y, direction }, code, forward);
  const closed = end.x === x && end.y === y && forward.length > 8;
  const backward: number[] = [];
  if (!closed) {
    const start = soleDirection(t, x, y, code);
    if (start >= 0) walk(t, { x, y, direction: start }, code, backward);
  }
  const points = new Float32Array(forward.length + backward.length);
  for (let i = 0; i < backward.length; i += 2) {
    points[i] = backward[backward.length - 2 - i]!;
    points[i + 1] = backward[backward.length - 1 - i]!;
  }
  points.set(forward, backward.length);
  return { kind: (code & 3) as RasterLine['kind'], part: code >> 2, points, closed };
}

interface Step {
  readonly x: number;
  readonly y: number;
  readonly direction: number;
}

function walk(t: Trace, from: Step, code: number, into: number[]): { x: number; y: number } {
  let { x, y, direction } = from;
  while (direction >= 0) {
    erase(t, x, y, direction);
    const dx = direction === 0 ? 1 : direction === 2 ? -1 : 0;
    const dy = direction === 1 ? 1 : direction === 3 ? -1 : 0;
    into.push(x + dx / 2, y + dy / 2);
    x += dx;
    y += dy;
    direction = soleDirection(t, x, y, code);
  }
  return { x, y };
}

/** The one way on, or -1 when there is none or a choice. */
function soleDirection(t: Trace, x: number, y: number, code: number): number {
  let found = -1;
  for (let d = 0; d < 4; d++)
    if (codeAt(t, x, y, d) === code) {
      if (found >= 0) return -1;
      found = d;
    }
  return found;
}
