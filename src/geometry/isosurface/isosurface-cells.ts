// The cells that the surface passes through, their corners' signs, and the numbers of their vertices.
import { NONE } from '../../mesh/mesh.ts';
import { BLOCK_CELLS, type Blocks, POINTS, SIDE } from './isosurface-blocks.ts';
import { type CellCases, NO_PATCH } from './isosurface-cases.ts';

export interface Cells {
  /** Per cell (kept block * 512 + cell): bit per corner that lies inside. */
  readonly mask: Uint8Array;
  /** Per cell: its first vertex, or NONE. */
  readonly firstVert: Int32Array;
  /** Per vertex: its cell. */
  readonly cellOfVert: Int32Array;
}

/** One vertex a patch, numbered block by block. Cost: O(cells of kept blocks). */
export function numberCells(blocks: Blocks, cases: CellCases): Cells {
  const numCells = blocks.place.length * BLOCK_CELLS;
  const mask = new Uint8Array(numCells);
  const firstVert = new Int32Array(numCells).fill(NONE);
  let verts = 0;
  for (let block = 0; block < blocks.place.length; block++)
    maskBlock(blocks.samples[block]!, mask, block * BLOCK_CELLS);
  for (let cell = 0; cell < numCells; cell++) {
    const patches = cases.numPatches[mask[cell]!]!;
    if (patches === 0) continue;
    firstVert[cell] = verts;
    verts += patches;
  }
  const cellOfVert = new Int32Array(verts);
  for (let cell = 0; cell < numCells; cell++) {
    const first = firstVert[cell]!;
    if (first === NONE) continue;
    for (let p = 0; p < cases.numPatches[mask[cell]!]!; p++) cellOfVert[first + p] = cell;
  }
  return { mask, firstVert, cellOfVert };
}

function maskBlock(values: Float32Array, mask: Uint8Array, base: number): void {
  const [dy, dz] = [POINTS, POINTS * POINTS];
  for (let k = 0; k < SIDE; k++) {
    for (let j = 0; j < SIDE; j++) {
      for (let i = 0; i < SIDE; i++) {
        const n = i + dy * j + dz * k;
        let bits = 0;
        if (values[n]! < 0) bits |= 1;
        if (values[n + 1]! < 0) bits |= 2;
        if (values[n + dy]! < 0) bits |= 4;
        if (values[n + dy + 1]! < 0) bits |= 8;
        if (values[n + dz]! < 0) bits |= 16;
        if (values[n + dz + 1]! < 0) bits |= 32;
        if (values[n + dz + dy]! < 0) bits |= 64;
        if (values[n + dz + dy + 1]! < 0) bits |= 128;
        mask[base + i + SIDE * (j + SIDE * k)] = bits;
      }
    }
  }
}

/** 256 x 6 (2 * axis + side): 1 where both segments of an alternating face belong to one patch. Where that is so on both sides
 *  of a face, two vertices would be joined by two edges. */
export function doubledFaces(cases: CellCases): Uint8Array {
  const out = new Uint8Array(256 * 6);
  for (let mask = 0; mask < 256; mask++) {
    for (let face = 0; face < 6; face++) {
      const patches = edgesOfFace(face).map((edge) => cases.patchOfEdge[mask * 12 + edge]!);
      if (patches.every((patch) => patch !== NO_PATCH && patch === patches[0])) out[mask * 6 + face] = 1;
    }
  }
  return out;
}

/** The four edges that bound a face: those along the other two axes at that side. */
function edgesOfFace(face: number): number[] {
  const axis = face >> 1;
  const side = face & 1;
  const first = (axis + 1) % 3;
  const second = (axis + 2) % 3;
  // Along `first`, the edge's own bits are (second, axis); along `second` they are (axis, first).
  return [0, 1].flatMap((other) => [4 * first + other + 2 * side, 4 * second + side + 2 * other]);
}
