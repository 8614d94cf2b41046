// Where on an edge of the grid the wall behind a sheet ends, and the plane in which it does.
import { type Blocks, firstCell, SIDE } from '../../isosurface/isosurface-blocks.ts';
import type { CrossedEdge, SurfaceSource } from '../../isosurface/isosurface-field.ts';
import { BLOCK_SAMPLES, type GridCrossings } from './rebuild-crossings.ts';
import {
  BEYOND_WALL,
  classify,
  IN_FRONT,
  IN_WALL,
  PAST_RIM,
  type SheetSide,
  writeRimNormal,
} from './thicken-sheet-side.ts';

export interface SheetQuestion {
  readonly side: SheetSide;
  readonly wall: { readonly wallMm: number; readonly cellMm: number };
  readonly blocks: Blocks;
  readonly crossings: GridCrossings;
}

/** The outer face comes from the triangles of the sheet, the inner one from the distance, the rim by halving. Cost: two to five
 *  nearest points a hit, fifteen at rims. */
export function sheetSource(question: SheetQuestion): SurfaceSource {
  return {
    hitOn: (edge, hit) => {
      placeHit(question, edge, hit);
    },
    missAt: (x, y, z) => missAt(question, x, y, z),
  };
}

function missAt({ side, wall }: SheetQuestion, x: number, y: number, z: number): number {
  side.point[0] = x;
  side.point[1] = y;
  side.point[2] = z;
  const kind = classify(side, wall.wallMm, wall.wallMm + 2 * wall.cellMm);
  const distance = Math.min(side.found.distanceMm[0]!, wall.wallMm + 2 * wall.cellMm);
  if (kind === BEYOND_WALL) return distance - wall.wallMm;
  return kind === IN_WALL ? Math.min(distance, wall.wallMm - distance) : Math.min(distance, wall.cellMm);
}

const MOST_ROUNDS = 14;

function placeHit(question: SheetQuestion, edge: CrossedEdge, hit: Float64Array): void {
  const { side, wall, blocks } = question;
  const { originMm, cellMm } = blocks.grid;
  const { point } = side;
  point[0] = originMm[0] + edge.i * cellMm;
  point[1] = originMm[1] + edge.j * cellMm;
  point[2] = originMm[2] + edge.k * cellMm;
  const start = point[edge.axis]!;
  const reach = wall.wallMm + 2 * cellMm;
  const look = (t: number): number => {
    point[edge.axis] = start + t * cellMm;
    return classify(side, wall.wallMm, reach);
  };
  let [inside, outside] = edge.low < 0 ? [0, 1] : [1, 0];
  let kind = look(outside);
  const crossing = kind === IN_FRONT ? onlyCrossing(question, edge) : -1;
  if (crossing >= 0) {
    finish(edge, hit, point, { t: question.crossings.t[crossing]!, at: start, cellMm });
    copyUnit(side.normals, question.crossings.tri[crossing]!, hit);
    return;
  }
  let over = side.found.distanceMm[0]! - wall.wallMm;
  look(inside);
  let under = side.found.distanceMm[0]! - wall.wallMm;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const secant = kind === BEYOND_WALL && over > under && over < Infinity;
    const t = secant ? inside + ((outside - inside) * under) / (under - over) : (inside + outside) / 2;
    const now = look(t);
    const off = side.found.distanceMm[0]! - wall.wallMm;
    if (now === IN_WALL) {
      inside = t;
      under = off;
    } else {
      outside = t;
      over = off;
      kind = now;
    }
    if (!secant || Math.abs(off) >= 1e-4 * cellMm) continue;
    outside = t;
    break;
  }
  look(outside);
  finish(edge, hit, point, { t: outside, at: start, cellMm });
  writeNormal(side, kind, hit);
}

function finish(
  edge: CrossedEdge,
  hit: Float64Array,
  point: Float64Array,
  { t, at, cellMm }: { readonly t: number; readonly at: number; readonly cellMm: number },
): void {
  edge.t = t;
  point[edge.axis] = at + t * cellMm;
  for (let c = 0; c < 3; c++) hit[c] = point[c]!;
}

function writeNormal(side: SheetSide, kind: number, hit: Float64Array): void {
  const { found, point } = side;
  if (kind === PAST_RIM) {
    writeRimNormal(side, hit);
    return;
  }
  if (kind === IN_FRONT) {
    copyUnit(side.normals, found.tri[0]!, hit);
    return;
  }
  const distance = found.distanceMm[0]! || 1;
  for (let c = 0; c < 3; c++) hit[3 + c] = (point[c]! - found.atMm[c]!) / distance;
}

function copyUnit(normals: Float64Array, tri: number, hit: Float64Array): void {
  const n = (tri < 0 ? ~tri : tri) * 3;
  for (let c = 0; c < 3; c++) hit[3 + c] = normals[n + c]!;
}

/** The one crossing of an edge with the sheet, or -1 when there are none or several. */
function onlyCrossing({ blocks, crossings }: SheetQuestion, edge: CrossedEdge): number {
  const block = blocks.place[edge.block]!;
  const [i0, j0, k0] = firstCell(blocks.grid, block);
  const code = edge.axis * BLOCK_SAMPLES + edge.i - i0 + SIDE * (edge.j - j0 + SIDE * (edge.k - k0));
  let found = -1;
  for (let n = crossings.start[block]!; n < crossings.start[block + 1]!; n++) {
    if (crossings.edge[n] !== code) continue;
    if (found >= 0) return -1;
    found = n;
  }
  return found;
}
