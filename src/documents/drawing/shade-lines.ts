// Light lines of equal height where the surface turns away from the light: form, without grey areas.
import type { DepthRaster } from './depth-raster.ts';
import type { RasterEdges } from './raster-edges.ts';

export interface ShadeOptions {
  /** Height of a pixel is x*a + y*b + depth*c (paper mm). */
  readonly height: readonly [number, number, number];
  readonly spacingMm: number;
  /** Every line from here on (0 lit to 1 dark), and every second one from `sparse` on. */
  readonly dense: number;
  readonly sparse: number;
}

export interface ShadeLine {
  readonly part: number;
  /** Pixels: x y x y ... */
  readonly points: Float32Array;
}

/** Level lines of the height over what is seen, in shade only. Blocked by folds and outlines (their pixel edges).
 *  Cost: O(pixels).  Method: marching squares with one level a cell; cells steeper than that stay empty. */
export function shadeLines(raster: DepthRaster, edges: RasterEdges, options: ShadeOptions): ShadeLine[] {
  const dark = darkness(raster);
  const segments = levelSegments(raster, { edges, dark, options });
  return joinSegments(segments);
}

// The light comes from the upper left, in front: paper x, y (down), depth, towards the light.
const LIGHT = [-0.45, -0.6, -0.66] as const;
const BLUR_MM = 0.7;

/** How dark the surface is, on a raster of blocks of pixels: fine enough for where a light line begins. */
interface DarkBlocks {
  readonly across: number;
  readonly values: Float32Array;
}

const BLOCK = 4;

/** Mean darkness (0 facing the light to 1 turned away) of each block's pixels, then a running mean over neighbours. */
function darkness(raster: DepthRaster): DarkBlocks {
  const across = Math.ceil(raster.width / BLOCK);
  const down = Math.ceil(raster.height / BLOCK);
  const sums = new Float32Array(across * down);
  const counts = new Float32Array(across * down);
  const { width, height, tri, slopes } = raster;
  const known = new Float64Array(slopes.length / 2).fill(NaN);
  for (let y = 0; y < height; y += 2) {
    const row = Math.floor(y / BLOCK) * across;
    for (let x = 0; x < width; x += 2) {
      const t = tri[y * width + x]!;
      if (t < 0) continue;
      let dark = known[t]!;
      if (Number.isNaN(dark)) {
        dark = darknessOf(slopes[t * 2]!, slopes[t * 2 + 1]!);
        known[t] = dark;
      }
      const block = row + Math.floor(x / BLOCK);
      sums[block]! += dark;
      counts[block]!++;
    }
  }
  const radius = Math.max(1, Math.round(BLUR_MM / raster.pixelMm / BLOCK));
  for (let pass = 0; pass < 2; pass++)
    for (const values of [sums, counts]) {
      runningSum(values, { radius, lanes: down, laneStep: across, step: 1, length: across });
      runningSum(values, { radius, lanes: across, laneStep: 1, step: across, length: down });
    }
  return { across, values: sums.map((sum, i) => (counts[i]! > 0 ? sum / counts[i]! : 0)) };
}

function darknessOf(slopeX: number, slopeY: number): number {
  const facing = (slopeX * LIGHT[0] + slopeY * LIGHT[1] - LIGHT[2]) / Math.sqrt(slopeX * slopeX + slopeY * slopeY + 1);
  return 1 - Math.max(0, facing);
}

interface Lanes {
  readonly radius: number;
  readonly lanes: number;
  readonly laneStep: number;
  readonly step: number;
  readonly length: number;
}

/** Each value becomes the sum of those within `radius` of it along its lane. In place. */
function runningSum(values: Float32Array, along: Lanes): void {
  const { radius, step, length } = along;
  const lane = new Float32Array(length);
  for (let l = 0; l < along.lanes; l++) {
    const first = l * along.laneStep;
    for (let i = 0; i < length; i++) lane[i] = values[first + i * step]!;
    let sum = 0;
    for (let i = -radius; i < length; i++) {
      if (i + radius < length) sum += lane[i + radius]!;
      if (i - radius > 0) sum -= lane[i - radius - 1]!;
      if (i >= 0) values[first + i * step] = sum;
    }
  }
}

interface Segments {
  /** Ids of the cell sides that each segment joins: two a segment. */
  readonly sides: number[];
  /** Where on the paper, in pixels: four a segment. */
  readonly places: number[];
  readonly parts: number[];
}

interface Field {
  readonly edges: RasterEdges;
  readonly dark: DarkBlocks;
  readonly options: ShadeOptions;
}

function levelSegments(raster: DepthRaster, field: Field): Segments {
  const { width, height, tri, depth, pixelMm } = raster;
  const { dense, sparse, spacingMm } = field.options;
  const [a, b, c] = field.options.height;
  const { across, values } = field.dark;
  const out: Segments = { sides: [], places: [], parts: [] };
  const corner = new Float64Array(4);
  /** In units of the spacing. */
  const heightAt = (x: number, y: number): number =>
    ((x + 0.5) * pixelMm * a + (y + 0.5) * pixelMm * b + depth[y * width + x]! * c) / spacingMm;
  for (let y = 0; y + 1 < height; y++) {
    const row = Math.floor(y / BLOCK) * across;
    for (let block = 0; block < across; block++) {
      const dark = values[row + block]!;
      if (dark < sparse) continue;
      const end = Math.min(width - 1, (block + 1) * BLOCK);
      for (let x = block * BLOCK; x < end; x++) {
        const at = y * width + x;
        if (tri[at]! < 0 || tri[at + 1]! < 0 || tri[at + width]! < 0 || tri[at + width + 1]! < 0) continue;
        if (isCut(raster, field.edges, x, y)) continue;
        corner[0] = heightAt(x, y);
        corner[1] = heightAt(x + 1, y);
        corner[2] = heightAt(x + 1, y + 1);
        corner[3] = heightAt(x, y + 1);
        const low = Math.floor(Math.min(corner[0], corner[1], corner[2], corner[3]));
        const level = Math.floor(Math.max(corner[0], corner[1], corner[2], corner[3]));
        if (level - low !== 1 || (level % 2 !== 0 && dark < dense)) continue;
        pushSegment(out, corner, { x, y, level, width, part: raster.partOfTri[tri[at]!]! });
      }
    }
  }
  return out;
}

function isCut(raster: DepthRaster, edges: RasterEdges, x: number, y: number): boolean {
  const { width } = raster;
  const row = width + 1;
  return (
    edges.down[y * row + x + 1] !== 0 ||
    edges.down[(y + 1) * row + x + 1] !== 0 ||
    edges.across[(y + 1) * width + x] !== 0 ||
    edges.across[(y + 1) * width + x + 1] !== 0
  );
}

interface Cell {
  readonly x: number;
  readonly y: number;
  readonly level: number;
  readonly width: number;
  readonly part: number;
}

/** Sides of a cell in turn: top, right, bottom, left; a side is known by its pixel and direction, so neighbours agree. */
function pushSegment(out: Segments, corner: Float64Array, cell: Cell): void {
  const { x, y, width } = cell;
  let sides = 0;
  for (let s = 0; s < 4; s++) {
    const a = corner[s]! - cell.level;
    const b = corner[(s + 1) % 4]! - cell.level;
    if (a < 0 === b < 0) continue;
    const f = s < 2 ? a / (a - b) : 1 - a / (a - b);
    const sx = s === 1 ? 1 : s === 3 ? 0 : f;
    const sy = s === 0 ? 0 : s === 2 ? 1 : f;
    out.places.push(x + sx + 0.5, y + sy + 0.5);
    out.sides.push(((s === 2 ? y + 1 : y) * width + (s === 1 ? x + 1 : x)) * 2 + (s % 2));
    sides++;
  }
  if (sides === 2) {
    out.parts.push(cell.part);
    return;
  }
  out.sides.length -= sides;
  out.places.length -= 2 * sides;
}

function joinSegments(segments: Segments): ShadeLine[] {
  const { sides, places, parts } = segments;
  const atSide = new Map<number, number>();
  const mate = new Int32Array(sides.length).fill(-1);
  for (let end = 0; end < sides.length; end++) {
    const other = atSide.get(sides[end]!);
    if (other === undefined) atSide.set(sides[end]!, end);
    else if (parts[other >> 1] === parts[end >> 1]) {
      mate[end] = other;
      mate[other] = end;
    }
  }
  const used = new Uint8Array(parts.length);
  const lines: ShadeLine[] = [];
  const follow = (start: number): void => {
    const points: number[] = [places[start * 2]!, places[start * 2 + 1]!];
    let end = start;
    while (end >= 0 && used[end >> 1] === 0) {
      used[end >> 1] = 1;
      const out = end ^ 1;
      points.push(places[out * 2]!, places[out * 2 + 1]!);
      end = mate[out]!;
    }
    lines.push({ part: parts[start >> 1]!, points: Float32Array.from(points) });
  };
  for (let end = 0; end < sides.length; end++) if (used[end >> 1] === 0 && mate[end] === -1) follow(end);
  for (let end = 0; end < sides.length; end += 2) if (used[end >> 1] === 0) follow(end);
  return lines;
}
