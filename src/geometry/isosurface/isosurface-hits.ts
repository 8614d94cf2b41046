// Where a field is zero on an edge of the grid, and which way it rises there.
import type { Grid } from './isosurface-blocks.ts';
import type { CrossedEdge, Field, SurfaceSource } from './isosurface-field.ts';

/** Rounds of false position on an edge; size of the tetrahedron for slopes, as a share of a cell. */
const ROOT_ROUNDS = 2;
const SLOPE_SHARE = 0.004;

/** Cost: six values of the field a crossed edge (two for its place, four for its slope). */
export function fieldSource(field: Field, grid: Grid): SurfaceSource {
  return {
    hitOn: (edge, hit) => findHit(field, grid, edge, hit),
    missAt: (x, y, z) => Math.abs(field(x, y, z)),
  };
}

/** Where the field is zero on the edge: false position, twice, from the sampled ends; then its slope there by four values. */
function findHit(field: Field, { originMm, cellMm }: Grid, edge: CrossedEdge, hit: Float64Array): void {
  hit[0] = originMm[0] + edge.i * cellMm;
  hit[1] = originMm[1] + edge.j * cellMm;
  hit[2] = originMm[2] + edge.k * cellMm;
  const start = hit[edge.axis]!;
  let [from, to, low, high] = [0, 1, edge.low, edge.high];
  let t = low / (low - high);
  for (let round = 0; round < ROOT_ROUNDS; round++) {
    hit[edge.axis] = start + t * cellMm;
    const value = field(hit[0]!, hit[1]!, hit[2]!);
    if (value < 0 === low < 0) {
      from = t;
      low = value;
    } else {
      to = t;
      high = value;
    }
    if (low === high) break;
    t = from + ((to - from) * low) / (low - high);
  }
  edge.t = t;
  hit[edge.axis] = start + t * cellMm;
  slopeAt(field, hit, SLOPE_SHARE * cellMm);
}

/** Unit slope of the field at hit[0..2] into hit[3..5], from the four corners of a small tetrahedron. */
function slopeAt(field: Field, hit: Float64Array, e: number): void {
  const x = hit[0]!;
  const y = hit[1]!;
  const z = hit[2]!;
  const a = field(x + e, y - e, z - e);
  const b = field(x - e, y - e, z + e);
  const c = field(x - e, y + e, z - e);
  const d = field(x + e, y + e, z + e);
  const nx = a - b - c + d;
  const ny = c + d - a - b;
  const nz = b + d - a - c;
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz) || 1;
  hit[3] = nx / length;
  hit[4] = ny / length;
  hit[5] = nz / length;
}
