// Finds the chosen vertices in a small box without looking at all of them.
import { NONE } from '../../mesh/mesh.ts';

export interface VertexGrid {
  readonly positions: Float64Array;
  readonly verts: Uint32Array;
  readonly cellMm: number;
  readonly head: Int32Array;
  readonly next: Int32Array;
}

/** Cost: O(verts). cellMm: about the size of the boxes that will be asked for. */
export function vertexGrid(positions: Float64Array, verts: Uint32Array, cellMm: number): VertexGrid {
  let size = 64;
  while (size < 2 * verts.length) size *= 2;
  const grid = { positions, verts, cellMm, head: new Int32Array(size).fill(NONE), next: new Int32Array(verts.length) };
  for (let i = 0; i < verts.length; i++) {
    const at = 3 * verts[i]!;
    const slot = slotOf(grid, cellAt(grid, at), cellAt(grid, at + 1), cellAt(grid, at + 2));
    grid.next[i] = grid.head[slot]!;
    grid.head[slot] = i;
  }
  return grid;
}

/** Appends to `out` the vertices in the box between two points grown by `byMm` (some outside it too). */
export function vertsInBox(grid: VertexGrid, ends: readonly [number, number], byMm: number, out: number[]): void {
  const { positions: p, verts, cellMm, head, next } = grid;
  const [low, high] = [
    [0, 0, 0],
    [0, 0, 0],
  ] as [number[], number[]];
  let cells = 1;
  for (let c = 0; c < 3; c++) {
    const a = p[3 * ends[0] + c]!;
    const b = p[3 * ends[1] + c]!;
    low[c] = Math.floor((Math.min(a, b) - byMm) / cellMm);
    high[c] = Math.floor((Math.max(a, b) + byMm) / cellMm);
    cells *= high[c]! - low[c]! + 1;
  }
  if (!(cells <= verts.length)) {
    for (const v of verts) out.push(v);
    return;
  }
  for (let x = low[0]!; x <= high[0]!; x++)
    for (let y = low[1]!; y <= high[1]!; y++)
      for (let z = low[2]!; z <= high[2]!; z++) {
        for (let i = head[slotOf(grid, x, y, z)]!; i !== NONE; i = next[i]!) {
          const at = 3 * verts[i]!;
          if (cellAt(grid, at) === x && cellAt(grid, at + 1) === y && cellAt(grid, at + 2) === z) out.push(verts[i]!);
        }
      }
}

function cellAt({ positions, cellMm }: VertexGrid, at: number): number {
  return Math.floor(positions[at]! / cellMm);
}

function slotOf({ head }: { readonly head: Int32Array }, x: number, y: number, z: number): number {
  const hash = Math.imul(x, 0x85ebca6b) ^ Math.imul(y, 0xc2b2ae35) ^ Math.imul(z, 0x27d4eb2f);
  return (hash ^ (hash >>> 15)) & (head.length - 1);
}
