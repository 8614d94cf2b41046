// Which surface patches pass through a cell, for each of the 256 ways its corners can lie inside or outside.

/** Corner c of a cell sits at (c & 1, c >> 1 & 1, c >> 2). Edge 4*axis + k runs along the axis from the corner whose other two
 *  coordinates are the bits of k (lower axis first, cyclic order: x -> y,z; y -> z,x; z -> x,y). */
export interface CellCases {
  /** 256: number of patches. */
  readonly numPatches: Uint8Array;
  /** 256 x 12: the patch that crosses an edge; 255 where the edge is not crossed. */
  readonly patchOfEdge: Uint8Array;
}

export const NO_PATCH = 255;

/** Patches are the cycles of segments on the six faces. On a face whose corners alternate, the segments cut off the inside
 *  corners: a rule that reads the face only, so that both cells of a face agree and the surface is closed.
 *  Cost: once, well under a millisecond. Method: docs/methods/isosurface.md. */
export function cellCases(): CellCases {
  const numPatches = new Uint8Array(256);
  const patchOfEdge = new Uint8Array(256 * 12).fill(NO_PATCH);
  for (let mask = 0; mask < 256; mask++) {
    const group = groupEdges(mask);
    let patches = 0;
    for (let edge = 0; edge < 12; edge++) {
      if (!isCrossed(mask, edge)) continue;
      const root = group[edge]!;
      if (root === edge) patchOfEdge[mask * 12 + edge] = patches++;
      else patchOfEdge[mask * 12 + edge] = patchOfEdge[mask * 12 + root]!;
    }
    numPatches[mask] = patches;
  }
  return { numPatches, patchOfEdge };
}

/** Lower corner of an edge. */
export function edgeCorner(edge: number): number {
  const axis = edge >> 2;
  const first = (axis + 1) % 3;
  const second = (axis + 2) % 3;
  return ((edge & 1) << first) | (((edge >> 1) & 1) << second);
}

function isCrossed(mask: number, edge: number): boolean {
  const low = edgeCorner(edge);
  const high = low | (1 << (edge >> 2));
  return ((mask >> low) & 1) !== ((mask >> high) & 1);
}

/** Per edge, the lowest edge of its patch. */
function groupEdges(mask: number): Int8Array {
  const group = Int8Array.from({ length: 12 }, (_, edge) => edge);
  for (let axis = 0; axis < 3; axis++) {
    for (let side = 0; side < 2; side++) for (const [a, b] of faceSegments(mask, axis, side)) join(group, a, b);
  }
  return group;
}

function join(group: Int8Array, a: number, b: number): void {
  const low = Math.min(group[a]!, group[b]!);
  const high = Math.max(group[a]!, group[b]!);
  for (let edge = 0; edge < 12; edge++) if (group[edge] === high) group[edge] = low;
}

/** Pairs of edges that a segment joins on one face. */
function faceSegments(mask: number, axis: number, side: number): [number, number][] {
  const first = (axis + 1) % 3;
  const second = (axis + 2) % 3;
  const base = side << axis;
  const around = [base, base | (1 << first), base | (1 << first) | (1 << second), base | (1 << second)];
  const edges = around.map((corner, i) => edgeBetween(corner, around[(i + 1) % 4]!));
  const crossed = edges.filter((edge) => isCrossed(mask, edge));
  if (crossed.length === 0) return [];
  if (crossed.length === 2) return [[crossed[0]!, crossed[1]!]];
  const inside = (corner: number): boolean => ((mask >> corner) & 1) === 1;
  return around.flatMap((corner, i): [number, number][] => (inside(corner) ? [[edges[i]!, edges[(i + 3) % 4]!]] : []));
}

function edgeBetween(a: number, b: number): number {
  const axis = Math.log2(a ^ b);
  const low = a & b;
  return axis * 4 + ((low >> ((axis + 1) % 3)) & 1) + 2 * ((low >> ((axis + 2) % 3)) & 1);
}
