// Joins the vertices of cells round each crossed edge of the grid, and gathers the tangent planes that place them.
import { invariant } from '../../base/invariant.ts';
import type { Work } from '../../base/work.ts';
import { NONE } from '../../mesh/mesh.ts';
import { BLOCK_CELLS, type Blocks, firstCell, POINTS, SIDE } from './isosurface-blocks.ts';
import { type CellCases, cellCases } from './isosurface-cases.ts';
import { type Cells, doubledFaces, numberCells } from './isosurface-cells.ts';
import type { CrossedEdge, SurfaceSource } from './isosurface-field.ts';
import { triangulate } from './isosurface-triangles.ts';

/** Numbers a vertex gathers: sum of n n' (6), of n (n . p) (3), of p (3), and how many. Positions in cells from its cell's corner. */
export const GATHERED = 13;

export interface Quads {
  readonly cells: Cells;
  /** Blocks' places, to find a cell again. */
  readonly place: Int32Array;
  /** numVerts x GATHERED. */
  readonly gathered: Float64Array;
  /** Middles of doubled edges: xyz mm, in order after the vertices of cells. */
  readonly middles: readonly number[];
  triangles(positions: Float64Array): Uint32Array;
}

const STEPS = [1, POINTS, POINTS * POINTS] as const;
const CELL_STEPS = [1, SIDE, SIDE * SIDE] as const;
/** Offsets (first, second) of the four cells round an edge, counter-clockwise seen from its far end. */
const AROUND = [0, 0, 1, 0, 1, 1, 0, 1] as const;

/** Cost: one hit a crossed edge. */
export function linkQuads(source: SurfaceSource, blocks: Blocks, work: Work): Quads {
  const cases = cellCases();
  const cells = numberCells(blocks, cases);
  const state = startLinking(source, blocks, { cases, cells });
  for (let block = 0; block < blocks.place.length; block++) {
    if ((block & 63) === 0) work.tick(block / blocks.place.length, 'shaping the surface');
    linkBlock(state, block);
  }
  const { middles, gathered } = state;
  const rings = state.rings.subarray(0, state.numRings * 4);
  return {
    cells,
    place: blocks.place,
    gathered,
    middles,
    triangles: (positions) => triangulate(source, positions, { rings, fans: state.fans }),
  };
}

interface Linking {
  readonly source: SurfaceSource;
  readonly blocks: Blocks;
  readonly cases: CellCases;
  readonly cells: Cells;
  readonly doubled: Uint8Array;
  readonly gathered: Float64Array;
  rings: Uint32Array;
  numRings: number;
  /** Rings with more than four vertices: their count, then they; the first is a middle. */
  readonly fans: number[];
  readonly middles: number[];
  /** Face and side of it to the middle of a doubled edge. */
  readonly middleOfFace: Map<number, number>;
  readonly edge: CrossedEdge;
  readonly ring: Int32Array;
  readonly ringCell: Int32Array;
  /** Where the surface meets an edge, xyz mm, and its unit normal there. */
  readonly hit: Float64Array;
}

function startLinking(source: SurfaceSource, blocks: Blocks, given: { cases: CellCases; cells: Cells }): Linking {
  const numVerts = given.cells.cellOfVert.length;
  return {
    source,
    blocks,
    ...given,
    doubled: doubledFaces(given.cases),
    gathered: new Float64Array(numVerts * GATHERED),
    rings: new Uint32Array(Math.ceil(numVerts * 1.05 + 64) * 4),
    numRings: 0,
    fans: [],
    middles: [],
    middleOfFace: new Map(),
    edge: { block: 0, i: 0, j: 0, k: 0, axis: 0, low: 0, high: 0, t: 0 },
    ring: new Int32Array(4),
    ringCell: new Int32Array(4),
    hit: new Float64Array(6),
  };
}

/** Visits the crossed edges whose lower end is one of the block's 8^3 lower corners. */
function linkBlock(state: Linking, block: number): void {
  const values = state.blocks.samples[block]!;
  const { edge } = state;
  const [i0, j0, k0] = firstCell(state.blocks.grid, state.blocks.place[block]!);
  edge.block = block;
  for (let k = 0; k < SIDE; k++) {
    for (let j = 0; j < SIDE; j++) {
      for (let i = 0; i < SIDE; i++) {
        const n = i + POINTS * (j + POINTS * k);
        edge.low = values[n]!;
        for (let axis = 0; axis < 3; axis++) {
          edge.high = values[n + STEPS[axis]!]!;
          if (edge.low < 0 === edge.high < 0) continue;
          edge.axis = axis;
          edge.i = i0 + i;
          edge.j = j0 + j;
          edge.k = k0 + k;
          findRing(state, i, j, k);
          state.source.hitOn(edge, state.hit);
          gather(state);
          closeRing(state);
        }
      }
    }
  }
}

/** The four cells round the edge and in each the vertex whose patch the edge crosses. i, j, k: the edge's lower end in its block. */
function findRing(state: Linking, i: number, j: number, k: number): void {
  const { cells, cases, ring, ringCell, edge } = state;
  const { axis } = edge;
  const here = edge.block * BLOCK_CELLS + i + SIDE * (j + SIDE * k);
  const stepFirst = CELL_STEPS[(axis + 1) % 3]!;
  const stepSecond = CELL_STEPS[(axis + 2) % 3]!;
  const isInner = i > 0 && j > 0 && k > 0;
  for (let r = 0; r < 4; r++) {
    const first = AROUND[2 * r]!;
    const second = AROUND[2 * r + 1]!;
    let cell = here - first * stepFirst - second * stepSecond;
    if (!isInner) {
      const di = axis === 1 ? second : axis === 2 ? first : 0;
      const dj = axis === 0 ? first : axis === 2 ? second : 0;
      const dk = axis === 0 ? second : axis === 1 ? first : 0;
      if (i < di || j < dj || k < dk) cell += wayBack(state.blocks, edge.block, [i - di, j - dj, k - dk]);
    }
    ringCell[r] = cell;
    const patch = cases.patchOfEdge[cells.mask[cell]! * 12 + 4 * axis + first + 2 * second]!;
    ring[r] = cells.firstVert[cell]! + patch;
  }
}

/** What to add to the number of a cell that lies before its block (a coordinate is -1) to find it in the block before. */
function wayBack(blocks: Blocks, block: number, at: readonly [number, number, number]): number {
  const [nx, ny] = blocks.grid.numBlocks;
  let place = blocks.place[block]!;
  let add = 0;
  for (let axis = 0; axis < 3; axis++) {
    if (at[axis]! >= 0) continue;
    place -= axis === 0 ? 1 : axis === 1 ? nx : nx * ny;
    add += SIDE * CELL_STEPS[axis]!;
  }
  const kept = blocks.keptAt[place] ?? NONE;
  invariant(kept !== NONE, 'the surface runs through kept blocks only');
  return (kept - block) * BLOCK_CELLS + add;
}

/** Adds the tangent plane at the hit to the four vertices round the edge. */
function gather(state: Linking): void {
  const { gathered, ring, hit } = state;
  const { axis, t } = state.edge;
  const nx = hit[3]!;
  const ny = hit[4]!;
  const nz = hit[5]!;
  const xx = nx * nx;
  const xy = nx * ny;
  const xz = nx * nz;
  const yy = ny * ny;
  const yz = ny * nz;
  const zz = nz * nz;
  for (let r = 0; r < 4; r++) {
    const first = AROUND[2 * r]!;
    const second = AROUND[2 * r + 1]!;
    const x = axis === 0 ? t : axis === 1 ? second : first;
    const y = axis === 1 ? t : axis === 2 ? second : first;
    const z = axis === 2 ? t : axis === 0 ? second : first;
    const along = nx * x + ny * y + nz * z;
    const g = ring[r]! * GATHERED;
    gathered[g]! += xx;
    gathered[g + 1]! += xy;
    gathered[g + 2]! += xz;
    gathered[g + 3]! += yy;
    gathered[g + 4]! += yz;
    gathered[g + 5]! += zz;
    gathered[g + 6]! += nx * along;
    gathered[g + 7]! += ny * along;
    gathered[g + 8]! += nz * along;
    gathered[g + 9]! += x;
    gathered[g + 10]! += y;
    gathered[g + 11]! += z;
    gathered[g + 12]! += 1;
  }
}

/** Stores the ring of vertices, counter-clockwise seen from outside. */
function closeRing(state: Linking): void {
  const { ring, edge } = state;
  if (hasDoubledSide(state)) {
    closeFan(state);
    return;
  }
  if (state.numRings * 4 === state.rings.length) {
    const larger = new Uint32Array(state.rings.length * 2);
    larger.set(state.rings);
    state.rings = larger;
  }
  const out = state.numRings++ * 4;
  for (let r = 0; r < 4; r++) state.rings[out + r] = ring[edge.low < 0 ? r : 3 - r]!;
}

function hasDoubledSide(state: Linking): boolean {
  for (let r = 0; r < 4; r++) if (isDoubled(state, r)) return true;
  return false;
}

/** The face between ring cells r and r + 1: its axis as seen from the edge (1 first, 2 second), and on which side of cell r. */
const FACE_AXIS = [1, 2, 1, 2] as const;
const FACE_SIDE = [0, 0, 1, 1] as const;

function isDoubled(state: Linking, r: number): boolean {
  const { cells, ringCell, doubled, edge } = state;
  const face = 2 * ((edge.axis + FACE_AXIS[r]!) % 3);
  const side = FACE_SIDE[r]!;
  const here = cells.mask[ringCell[r]!]!;
  const beyond = cells.mask[ringCell[(r + 1) % 4]!]!;
  return doubled[here * 6 + face + side] === 1 && doubled[beyond * 6 + face + 1 - side] === 1;
}

/** The rare case: puts a vertex on each doubled side, so that no two triangles share three vertices' edges twice. */
function closeFan(state: Linking): void {
  const { ring, edge, fans } = state;
  const around: number[] = [];
  let start = 0;
  for (let r = 0; r < 4; r++) {
    around.push(ring[r]!);
    if (!isDoubled(state, r)) continue;
    start = around.length;
    around.push(middleOf(state, r));
  }
  if (edge.low >= 0) {
    around.reverse();
    start = around.length - 1 - start;
  }
  fans.push(around.length, ...around.slice(start), ...around.slice(0, start));
}

/** The vertex on the doubled side between ring cells r and r + 1, shared with the other edge of its segment: known by the face
 *  and the inside corner that the segment cuts off. It lies midway between the two hits. */
function middleOf(state: Linking, r: number): number {
  const { hit, middles, middleOfFace, cells } = state;
  const key = middleKey(state, r);
  const known = middleOfFace.get(key);
  const numVerts = cells.cellOfVert.length;
  if (known === undefined) {
    middleOfFace.set(key, middles.length / 3);
    middles.push(hit[0]!, hit[1]!, hit[2]!);
    return numVerts + middles.length / 3 - 1;
  }
  for (let c = 0; c < 3; c++) middles[known * 3 + c] = (middles[known * 3 + c]! + hit[c]!) / 2;
  return numVerts + known;
}

function middleKey(state: Linking, r: number): number {
  const { edge } = state;
  const [nx, ny] = state.blocks.grid.numBlocks;
  const axis = (edge.axis + FACE_AXIS[r]!) % 3;
  const corner = [edge.i, edge.j, edge.k];
  if (edge.low >= 0) corner[edge.axis]!++;
  const at = corner[0]! + (nx * SIDE + 1) * (corner[1]! + (ny * SIDE + 1) * corner[2]!);
  // Four faces of one axis meet in a corner; which of them is told by the sides of the edge and of the face's other side.
  const others = [edge.i, edge.j, edge.k];
  const across = 3 - axis - edge.axis;
  const acrossLow = AROUND[2 * r + (FACE_AXIS[r] === 1 ? 1 : 0)]!;
  others[across]! -= acrossLow;
  const quarter = [0, 1, 2].filter((c) => c !== axis).map((c) => corner[c]! - others[c]!);
  return (at * 3 + axis) * 4 + quarter[0]! + 2 * quarter[1]!;
}
