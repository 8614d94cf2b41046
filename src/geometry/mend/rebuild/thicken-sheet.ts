// A sheet without thickness given a wall behind it: the sheet stays the outer face, its rims stay open.
import { done, type Outcome, refuse } from '../../../base/findings.ts';
import { partOfWork, QUIET_WORK, type Work } from '../../../base/work.ts';
import { buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoints } from '../../../mesh/closest-point.ts';
import { bounds, surfaceArea } from '../../../mesh/measure.ts';
import { type Bounds, type Mesh, numTris, type Vec3 } from '../../../mesh/mesh.ts';
import { weldMesh } from '../../../mesh/weld.ts';
import { evenOutCrossings } from '../../crossings/even-out-crossings.ts';
import { contourBlocks } from '../../isosurface/isosurface.ts';
import { type Blocks, firstCell, type Grid, layGrid, SIDE } from '../../isosurface/isosurface-blocks.ts';
import { shellsAbove } from '../../isosurface/isosurface-shell.ts';
import { sampleSurface } from '../../surface-points.ts';
import type { Deviation } from './deviation.ts';
import { BLOCK_SAMPLES, gridCrossings } from './rebuild-crossings.ts';
import { settleVertices } from './rebuild-settle.ts';
import { keptBlocks, noNumbers } from './rebuild-sides.ts';
import { sheetSource } from './thicken-sheet-hits.ts';
import { classify, IN_WALL, type SheetSide, sheetSide } from './thicken-sheet-side.ts';

export interface ThickenOptions {
  readonly wallMm: number;
  /** Side of a cell, mm; at most half the wall. */
  readonly cellMm: number;
  /** Memory that it may take, MB. */
  readonly mostMb?: number;
}

export const THICKEN_DEFAULTS = { mostMb: 1500 } as const;

export interface Thickened {
  readonly mesh: Mesh;
  /** From the sheet to the outer face of the result. */
  readonly deviation: Deviation;
  /** Pairs of triangles of the result that cross; mostly 0. */
  readonly crossings: number;
  readonly cellMm: number;
}

/** A closed shell whose outer face is the sheet and which reaches `wallMm` behind it (against its normals); rims are cut square, and
 *  openings stay. All points behind the sheet and nearer to it than the wall are solid, so tight bends fill instead of crossing.
 *  The sheet must be facing one way throughout. Space: the sheet's, mm. Cost: about 5 s per million new triangles, and
 *  450 MB. Refuses MESH_EMPTY, REBUILD_TOO_FINE. Method: signs of a grid by the nearest point and its angle-weighted normal, dual
 *  contouring; docs/methods/sheet.md. Weak: where one part of the sheet lies less than a wall behind another the wall ends halfway. */
export function thickenSheet(input: Mesh, options: ThickenOptions, work: Work = QUIET_WORK): Outcome<Thickened> {
  const { mesh } = weldMesh(input);
  const cellMm = Math.min(options.cellMm, options.wallMm / 2);
  if (!(surfaceArea(mesh) > 0)) return refuse('MESH_EMPTY', 'The sheet has no triangle with an area.');
  const mostMb = options.mostMb ?? THICKEN_DEFAULTS.mostMb;
  const needMb = thickenMb(mesh, cellMm, options.wallMm);
  if (needMb > mostMb) {
    return refuse(
      'REBUILD_TOO_FINE',
      `Giving the sheet a wall on cells of ${cellMm.toPrecision(3)} mm would need about ${Math.ceil(needMb)} MB; ${mostMb} MB are allowed.`,
    );
  }
  const side = sheetSide(mesh, buildBoundingTree(mesh, partOfWork(work, 0, 0.05)));
  const raw = contourOf(side, { wallMm: options.wallMm, cellMm }, partOfWork(work, 0.05, 0.7));
  const { mesh: kept } = shellsAbove(raw, 8 * cellMm ** 3);
  if (numTris(kept) === 0) return refuse('MESH_EMPTY', 'The sheet is too small for a wall on these cells.');
  const { tree, normals } = side;
  const laid = settleVertices(kept, { tree, normals, withinMm: 0.5 * cellMm }, partOfWork(work, 0.7, 0.75));
  const even = evenOutCrossings(laid, partOfWork(work, 0.75, 0.95));
  const deviation = sheetDeviation(mesh, even.mesh, partOfWork(work, 0.95, 1));
  return done({ mesh: even.mesh, deviation, crossings: even.crossings, cellMm });
}

interface Wall {
  readonly wallMm: number;
  readonly cellMm: number;
}

function contourOf(side: SheetSide, wall: Wall, work: Work): Mesh {
  const grid = layGrid({ within: grown(bounds(side.mesh), wall.wallMm), cellMm: wall.cellMm });
  const crossings = gridCrossings(side.mesh, grid, partOfWork(work, 0, 0.1));
  const blocks = wallBlocks(side, wall, grid, partOfWork(work, 0.1, 0.6));
  return contourBlocks(sheetSource({ side, wall, blocks, crossings }), blocks, partOfWork(work, 0.6, 1));
}

function grown({ minMm, maxMm }: Bounds, byMm: number): Bounds {
  return { minMm: minMm.map((x) => x - byMm) as unknown as Vec3, maxMm: maxMm.map((x) => x + byMm) as unknown as Vec3 };
}

/** Samples of every block that the wall can reach: 1 within the wall, 0 elsewhere. */
function wallBlocks(side: SheetSide, { wallMm, cellMm }: Wall, grid: Grid, work: Work): Blocks {
  const state = noNumbers(grid);
  const half = ((SIDE - 1) / 2) * cellMm;
  const radius = Math.sqrt(3) * half;
  const { point, found } = side;
  for (let block = 0; block < state.numBlocks; block++) {
    if ((block & 15) === 0) work.tick(block / state.numBlocks, 'telling the wall from the rest');
    const low = firstCell(grid, block).map((i, c) => grid.originMm[c]! + i * cellMm) as [number, number, number];
    for (let c = 0; c < 3; c++) point[c] = low[c]! + half;
    closestPoints(side.tree, point, found, { withinMm: wallMm + radius });
    if (!(found.distanceMm[0]! < Infinity)) continue;
    const numbers = new Float32Array(BLOCK_SAMPLES);
    let inside = 0;
    for (let n = 0; n < BLOCK_SAMPLES; n++) {
      point[0] = low[0] + (n & 7) * cellMm;
      point[1] = low[1] + ((n >> 3) & 7) * cellMm;
      point[2] = low[2] + (n >> 6) * cellMm;
      numbers[n] = classify(side, wallMm, wallMm) === IN_WALL ? 1 : 0;
      inside += numbers[n]!;
    }
    if (inside === 0) continue;
    state.slot[block] = state.numbers.length;
    state.numbers.push(numbers);
  }
  return keptBlocks(state);
}

/** Estimated need, MB: as rebuilding with the area of both faces, and the blocks that the wall fills. */
export function thickenMb(mesh: Mesh, cellMm: number, wallMm: number): number {
  const area = 2 * surfaceArea(mesh);
  const blocks = (area / 2 / (SIDE * cellMm) ** 2) * (2.5 + wallMm / (SIDE * cellMm));
  return (numTris(mesh) * 600 + (area / (cellMm * cellMm)) * 900 + blocks * BLOCK_SAMPLES * 4) / 1e6;
}

function sheetDeviation(sheet: Mesh, result: Mesh, work: Work): Deviation {
  work.tick(0, 'measuring how far the surface moved');
  const { points, num } = sampleSurface(sheet, 40_000, work.seed);
  const out = { tri: new Int32Array(num), distanceMm: new Float64Array(num) };
  closestPoints(buildBoundingTree(result), points, out);
  let worst = 0;
  for (let n = 1; n < num; n++) if (out.distanceMm[n]! > out.distanceMm[worst]!) worst = n;
  const atMm: Vec3 = [points[worst * 3]!, points[worst * 3 + 1]!, points[worst * 3 + 2]!];
  const maxMm = out.distanceMm[worst]!;
  return { maxMm, p99Mm: out.distanceMm.sort()[Math.floor(0.99 * (num - 1))]!, atMm };
}
