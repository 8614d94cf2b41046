// A region of a plane given by overlapping polygons with a height over each: how wide it is and how deep the overlap in it goes.
import type { Vec3 } from '../mesh/mesh.ts';

/** One convex polygon, counter-clockwise; heights are linear: a u + b v + c. */
interface OverlapPolygon {
  /** 2 x n, mm. */
  readonly corners: Float64Array;
  /** Which pair of bodies it belongs to. */
  readonly label: number;
  /** How far one stands beyond the other. */
  readonly over: readonly [number, number, number];
  /** Height of the other. */
  readonly ground: readonly [number, number, number];
}

/** Grows polygon by polygon. */
export interface OverlapRegion {
  readonly corners: number[];
  /** Where the corners of each polygon begin, one more at the end. */
  readonly starts: number[];
  readonly labels: number[];
  /** Six a polygon. */
  readonly heights: number[];
  add(polygon: OverlapPolygon): void;
}

export interface PressedPlace {
  readonly label: number;
  readonly depthMm: number;
  /** Across, across, height of the ground. */
  readonly at: Vec3;
  /** Highest overlap of the polygon there. */
  readonly beforeMm: number;
}

export function overlapRegion(): OverlapRegion {
  const region = { corners: [] as number[], starts: [0], labels: [] as number[], heights: [] as number[] };
  return {
    ...region,
    add({ corners, label, over, ground }) {
      region.corners.push(...corners);
      region.starts.push(region.corners.length / 2);
      region.labels.push(label);
      region.heights.push(...over, ...ground);
    },
  };
}

/** Cells finer than this are not needed: a fifth of what contact may press. */
const FINEST_SHARE = 0.2;
/** A circle so many cells wide is measured well enough. */
const ENOUGH_CELLS = 16;
/** No circle is looked for beyond this radius: twice the width at which the coarser cells would have sufficed. */
const MOST_CELLS = 20;
const TILE = 128;
const SIDE = TILE + 2 * MOST_CELLS;

/** The deepest place of the region, or of the part of it with one label; null when no circle wider than `leastMm` fits where the overlap
 *  is deeper than that. At each place the depth is the overlap's height or the width of the circle round it that stays in the region,
 *  whichever is less. Cells are halved until the widest circle takes 16 of them, so it is right to a tenth (at the least width, to
 *  a fifth). Cost: O(polygons x halvings + cells); a region that is nowhere wide costs some 40,000 cells a tile of half a millimetre. */
export function pressedDepth(region: OverlapRegion, leastMm: number, label: number | null = null): PressedPlace | null {
  const chosen = region.labels.flatMap((one, polygon) => (label === null || one === label ? [polygon] : []));
  const areaMm2 = chosen.reduce((sum, polygon) => sum + areaOf(region, polygon), 0);
  if (areaMm2 < (Math.PI / 4) * leastMm * leastMm) return null;
  const finest = leastMm * FINEST_SHARE;
  let cell = Math.max(finest, Math.sqrt(areaMm2 / ((Math.PI / 4) * ENOUGH_CELLS ** 2)));
  for (;;) {
    const deepest = deepestOf(region, chosen, cell);
    if (deepest !== null && (deepest.widthMm >= ENOUGH_CELLS * cell || cell <= finest))
      return deepest.depthMm > leastMm ? placeOf(region, deepest) : null;
    if (cell <= finest) return null;
    cell = Math.max(finest, cell / 2);
  }
}

interface Deepest {
  readonly depthMm: number;
  readonly widthMm: number;
  readonly u: number;
  readonly v: number;
  readonly polygon: number;
}

function placeOf(
  { labels, heights, corners, starts }: OverlapRegion,
  { depthMm, u, v, polygon }: Deepest,
): PressedPlace {
  const [a, b, c, d, e, f] = heights.slice(polygon * 6, polygon * 6 + 6) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  let beforeMm = 0;
  for (let k = starts[polygon]!; k < starts[polygon + 1]!; k++)
    beforeMm = Math.max(beforeMm, a * corners[k * 2]! + b * corners[k * 2 + 1]! + c);
  return { label: labels[polygon]!, depthMm, at: [u, v, d * u + e * v + f], beforeMm };
}

function areaOf({ corners, starts }: OverlapRegion, polygon: number): number {
  const [from, to] = [starts[polygon]!, starts[polygon + 1]!];
  let twice = 0;
  for (let k = from; k < to; k++) {
    const next = k + 1 === to ? from : k + 1;
    twice += corners[k * 2]! * corners[next * 2 + 1]! - corners[next * 2]! * corners[k * 2 + 1]!;
  }
  return Math.abs(twice) / 2;
}

function deepestOf(region: OverlapRegion, polygons: readonly number[], cell: number): Deepest | null {
  const room = {
    over: new Float32Array(SIDE * SIDE),
    owner: new Int32Array(SIDE * SIDE),
    near: new Int32Array(SIDE * SIDE),
  };
  let best: Deepest | null = null;
  for (const [tile, members] of tilesOf(region, polygons, cell)) {
    const [i, j] = tile.split(',').map(Number) as [number, number];
    const corner: [number, number] = [(i * TILE - MOST_CELLS) * cell, (j * TILE - MOST_CELLS) * cell];
    room.over.fill(0);
    for (const polygon of members) fillPolygon(region, polygon, { ...room, corner, cell });
    nearestOutside(room);
    best = deeper(best, room, { corner, cell });
  }
  return best;
}

/** Polygons by the tiles they may reach, margins included. Keyed "i,j": a few thousand at most. */
function tilesOf(region: OverlapRegion, polygons: readonly number[], cell: number): Map<string, number[]> {
  const { corners, starts } = region;
  const tiles = new Map<string, number[]>();
  const [size, margin] = [TILE * cell, MOST_CELLS * cell];
  for (const polygon of polygons) {
    let [lowU, lowV, highU, highV] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let k = starts[polygon]!; k < starts[polygon + 1]!; k++) {
      lowU = Math.min(lowU, corners[k * 2]!);
      highU = Math.max(highU, corners[k * 2]!);
      lowV = Math.min(lowV, corners[k * 2 + 1]!);
      highV = Math.max(highV, corners[k * 2 + 1]!);
    }
    for (let i = Math.floor((lowU - margin) / size); i <= Math.floor((highU + margin) / size); i++) {
      for (let j = Math.floor((lowV - margin) / size); j <= Math.floor((highV + margin) / size); j++) {
        const key = `${i},${j}`;
        const list = tiles.get(key);
        if (list === undefined) tiles.set(key, [polygon]);
        else list.push(polygon);
      }
    }
  }
  return tiles;
}

interface Room {
  /** SIDE x SIDE, row by row: the highest overlap at the middle of the cell; 0 outside. */
  readonly over: Float32Array;
  readonly owner: Int32Array;
  /** Cells to the nearest one outside in the same row, at most MOST_CELLS + 1. */
  readonly near: Int32Array;
}

interface Tile {
  readonly corner: readonly [number, number];
  readonly cell: number;
}

/** Row by row, between the crossings of the row's middle line with the polygon. */
function fillPolygon(region: OverlapRegion, polygon: number, tile: Room & Tile): void {
  const { corners, starts, heights } = region;
  const { over, owner, corner, cell } = tile;
  const [from, to] = [starts[polygon]!, starts[polygon + 1]!];
  const [a, b, c] = [heights[polygon * 6]!, heights[polygon * 6 + 1]!, heights[polygon * 6 + 2]!];
  let [low, high] = [Infinity, -Infinity];
  for (let k = from; k < to; k++) {
    low = Math.min(low, corners[k * 2 + 1]!);
    high = Math.max(high, corners[k * 2 + 1]!);
  }
  const firstRow = Math.max(0, Math.ceil((low - corner[1]) / cell - 0.5));
  const lastRow = Math.min(SIDE - 1, Math.floor((high - corner[1]) / cell - 0.5));
  for (let row = firstRow; row <= lastRow; row++) {
    const v = corner[1] + (row + 0.5) * cell;
    let [left, right] = [Infinity, -Infinity];
    for (let k = from; k < to; k++) {
      const next = k + 1 === to ? from : k + 1;
      const [v0, v1] = [corners[k * 2 + 1]!, corners[next * 2 + 1]!];
      if (v < Math.min(v0, v1) || v > Math.max(v0, v1) || v0 === v1) continue;
      const u = corners[k * 2]! + ((v - v0) / (v1 - v0)) * (corners[next * 2]! - corners[k * 2]!);
      left = Math.min(left, u);
      right = Math.max(right, u);
    }
    const first = Math.max(0, Math.ceil((left - corner[0]) / cell - 0.5 - SLACK));
    const last = Math.min(SIDE - 1, Math.floor((right - corner[0]) / cell - 0.5 + SLACK));
    for (let at = first; at <= last; at++) {
      const height = a * (corner[0] + (at + 0.5) * cell) + b * v + c;
      if (height <= over[row * SIDE + at]!) continue;
      over[row * SIDE + at] = height;
      owner[row * SIDE + at] = polygon;
    }
  }
}

/** In cells: neighbours that share a side leave no crack between them. */
const SLACK = 1e-6;

function nearestOutside({ over, near }: Room): void {
  for (let row = 0; row < SIDE; row++) {
    let away = MOST_CELLS;
    for (let at = row * SIDE; at < (row + 1) * SIDE; at++) {
      away = over[at]! > 0 ? Math.min(MOST_CELLS, away) + 1 : 0;
      near[at] = away;
    }
    away = MOST_CELLS;
    for (let at = (row + 1) * SIDE - 1; at >= row * SIDE; at--) {
      away = over[at]! > 0 ? Math.min(MOST_CELLS, away) + 1 : 0;
      if (away < near[at]!) near[at] = away;
    }
  }
}

/** Over the cells of the tile itself; those of its margin belong to its neighbours. */
function deeper(best: Deepest | null, { over, owner, near }: Room, { corner, cell }: Tile): Deepest | null {
  for (let row = MOST_CELLS; row < MOST_CELLS + TILE; row++) {
    for (let col = MOST_CELLS; col < MOST_CELLS + TILE; col++) {
      const at = row * SIDE + col;
      if (over[at]! <= (best?.depthMm ?? 0)) continue;
      let squared = near[at]! ** 2;
      for (let k = 1; k * k < squared; k++) {
        const up = near[at + k * SIDE]!;
        const down = near[at - k * SIDE]!;
        const nearer = up < down ? up : down;
        if (nearer * nearer + k * k < squared) squared = nearer * nearer + k * k;
      }
      // from the middle of a cell inside to that of one outside: the edge lies half a cell before it
      const widthMm = (2 * Math.sqrt(squared) - 1) * cell;
      const depthMm = Math.min(over[at]!, widthMm);
      if (depthMm <= (best?.depthMm ?? 0)) continue;
      const [u, v] = [corner[0] + (col + 0.5) * cell, corner[1] + (row + 0.5) * cell];
      best = { depthMm, widthMm, u, v, polygon: owner[at]! };
    }
  }
  return best;
}
