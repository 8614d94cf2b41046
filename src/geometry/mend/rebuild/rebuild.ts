// A closed surface anew from whatever triangles there are: inside is where they wind round at least half a time.
import { done, type Outcome, refuse } from '../../../base/findings.ts';
import { partOfWork, QUIET_WORK, type Work } from '../../../base/work.ts';
import { buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { bounds, sizeOf, surfaceArea } from '../../../mesh/measure.ts';
import { type Mesh, numTris } from '../../../mesh/mesh.ts';
import { weldMesh } from '../../../mesh/weld.ts';
import { evenOutCrossings } from '../../crossings/even-out-crossings.ts';
import { contourBlocks } from '../../isosurface/isosurface.ts';
import { layGrid, SIDE } from '../../isosurface/isosurface-blocks.ts';
import { shellsAbove } from '../../isosurface/isosurface-shell.ts';
import { buildWindingTree, type WindingTree } from '../../winding/winding-number.ts';
import { compareSurfaces, type SurfaceComparison } from './deviation.ts';
import { gridCrossings } from './rebuild-crossings.ts';
import { windingSource } from './rebuild-hits.ts';
import { rimOf } from './rebuild-rim.ts';
import { settleVertices, unitNormals } from './rebuild-settle.ts';
import { sidesOfGrid } from './rebuild-sides.ts';

export interface RebuildOptions {
  /** Side of a cell, mm: what is thinner is lost or joined. */
  readonly cellMm: number;
  /** Memory that rebuilding may take, MB. */
  readonly mostMb?: number;
  /** Shells that hold less than so many cells are crumbs and left out. */
  readonly leastCells?: number;
}

export const REBUILD_DEFAULTS = { mostMb: 1500, leastCells: 8 } as const;

export interface Rebuilt extends SurfaceComparison {
  readonly mesh: Mesh;
  readonly cellMm: number;
  /** Pairs of triangles of the new surface that cross; mostly 0. */
  readonly crossings: number;
  /** Crumbs that were left out. */
  readonly crumbs: number;
}

/** A closed surface about all points round which the input winds at least half a time: overlaps become one solid, openings are closed
 *  where the winding number falls through 1/2, sheets without thickness vanish (their area is told). Guaranteed: every edge in two
 *  triangles, one fan per vertex, outward. Facing must be right before (a shell turned inside out counts as a hole).
 *  Space: the input's, mm. Cost: about 1.5 s and 450 MB per million new triangles, more near rims. Refuses MESH_EMPTY, REBUILD_TOO_FINE.
 *  Method: signs of a grid from crossings and fast winding numbers, dual contouring with the input's own planes;
 *  docs/methods/rebuild.md. Weak: walls and gaps thinner than a cell. */
export function rebuildSurface(input: Mesh, options: RebuildOptions, work: Work = QUIET_WORK): Outcome<Rebuilt> {
  const full = { ...REBUILD_DEFAULTS, ...options };
  const { cellMm } = full;
  const { mesh } = weldMesh(input);
  if (!(surfaceArea(mesh) > 0)) return refuse('MESH_EMPTY', 'The surface has no triangle with an area.');
  const needMb = rebuildMb(mesh, cellMm);
  if (needMb > full.mostMb) return tooFine(mesh, full, needMb);
  const winding = buildWindingTree(buildBoundingTree(mesh, partOfWork(work, 0, 0.05)), { beta: BETA });
  const raw = contourOf(mesh, winding, cellMm, partOfWork(work, 0.05, 0.55));
  const { mesh: kept, dropped } = shellsAbove(raw, full.leastCells * cellMm ** 3);
  if (numTris(kept) === 0) return refuse('MESH_EMPTY', 'The surface winds round nothing: it encloses no solid.');
  const laid = settleVertices(
    kept,
    { tree: winding.tree, normals: unitNormals(mesh), withinMm: cellMm },
    partOfWork(work, 0.55, 0.65),
  );
  const even = evenOutCrossings(laid, partOfWork(work, 0.65, 0.85));
  const question = { input: mesh, winding, result: even.mesh, cellMm };
  const comparison = compareSurfaces(question, partOfWork(work, 0.85, 1));
  return done({ mesh: even.mesh, cellMm, crossings: even.crossings, crumbs: dropped, ...comparison });
}

/** Signs need no more than the paper's accuracy. */
const BETA = 2.3;

function contourOf(mesh: Mesh, winding: WindingTree, cellMm: number, work: Work): Mesh {
  const grid = layGrid({ within: bounds(mesh), cellMm });
  const crossings = gridCrossings(mesh, grid, partOfWork(work, 0, 0.2));
  const rim = rimOf(mesh, cellMm);
  const blocks = sidesOfGrid({ grid, crossings, winding, rim }, partOfWork(work, 0.2, 0.6));
  return contourBlocks(windingSource({ mesh, blocks, crossings, winding }), blocks, partOfWork(work, 0.6, 1));
}

/** Estimated need: the input and its trees, the blocks along its surface, the new triangles, and the grid of blocks, MB. */
export function rebuildMb(mesh: Mesh, cellMm: number): number {
  const size = sizeOf(bounds(mesh));
  const blocks = size.reduce((product, side) => product * (side / (SIDE * cellMm) + 1.5), 1);
  const perArea = surfaceArea(mesh) / (cellMm * cellMm);
  return (numTris(mesh) * 450 + blocks * 24 + perArea * 1100) / 1e6;
}

function tooFine(mesh: Mesh, full: Required<RebuildOptions>, needMb: number): ReturnType<typeof refuse> {
  let fits = full.cellMm;
  for (let step = 0; step < 200 && rebuildMb(mesh, fits) > full.mostMb; step++) fits *= 1.05;
  return refuse(
    'REBUILD_TOO_FINE',
    `Rebuilding on cells of ${full.cellMm.toPrecision(3)} mm would need about ${Math.ceil(needMb)} MB; ${full.mostMb} MB are allowed.`,
    { tryThis: `Take cells of ${fits.toPrecision(3)} mm or more.` },
  );
}
