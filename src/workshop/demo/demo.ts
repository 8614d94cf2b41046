// The demonstration models, made by the program itself, so that every page can be tried without a file.
import { partOfWork, QUIET_WORK, type Work } from '../../base/work.ts';
import { evenOutCrossings } from '../../geometry/crossings/even-out-crossings.ts';
import { type Field, isosurface } from '../../geometry/isosurface/isosurface.ts';
import { simplifyClosed } from '../../geometry/simplify.ts';
import { type Bounds, type Mesh, numTris } from '../../mesh/mesh.ts';
import { HALF_MASK_BOUNDS, halfMask } from './half-mask.ts';
import { KEEPERS_HELM_BOUNDS, keepersHelm } from './keepers-helm.ts';
import { SHOULDER_GUARD_BOUNDS, shoulderGuard } from './shoulder-guard.ts';

export type DemoShape = 'keepers-helm' | 'half-mask' | 'shoulder-guard';
export const DEMO_SHAPES: readonly DemoShape[] = ['keepers-helm', 'half-mask', 'shoulder-guard'];

export interface DemoOptions {
  /** 20,000 to 2,000,000. */
  readonly triangles: number;
}
export const DEMO_DEFAULTS: DemoOptions = { triangles: 200_000 };

interface Pattern {
  readonly title: string;
  readonly field: Field;
  readonly bounds: Bounds;
  /** Area of the surface, mm2: tells which cells give how many triangles. */
  readonly areaMm2: number;
}

const PATTERNS: Record<DemoShape, Pattern> = {
  'keepers-helm': { title: 'Keeper’s helm', field: keepersHelm, bounds: KEEPERS_HELM_BOUNDS, areaMm2: 444_000 },
  'half-mask': { title: 'Tern mask', field: halfMask, bounds: HALF_MASK_BOUNDS, areaMm2: 29_500 },
  'shoulder-guard': { title: 'Shoulder guard', field: shoulderGuard, bounds: SHOULDER_GUARD_BOUNDS, areaMm2: 86_000 },
};

/** What the piece is called in its book. */
export function demoTitle(shape: DemoShape): string {
  return PATTERNS[shape].title;
}

/** One closed shell, upright, face to +y, mm (file space), with the number of triangles asked for.
 *  It is meshed finer than its thinnest part, simplified, and evened out where
 *  it crosses itself. Cost: 10 to 13 s of processor time up to 1 million triangles, 25 s for 2 million. */
export function demoModel(shape: DemoShape, options: Partial<DemoOptions> = {}, work: Work = QUIET_WORK): Mesh {
  const { triangles } = { ...DEMO_DEFAULTS, ...options };
  const { field, bounds, areaMm2 } = PATTERNS[shape];
  let cellMm = Math.min(COARSEST_MM, Math.sqrt((TRIANGLES_PER_CELL_FACE * areaMm2) / (SPARE * triangles)));
  let fine = isosurface(field, { within: bounds, cellMm }, partOfWork(work, 0, 0.7));
  if (numTris(fine) < triangles) {
    cellMm *= Math.sqrt(numTris(fine) / (SPARE * triangles));
    fine = isosurface(field, { within: bounds, cellMm }, partOfWork(work, 0.7, 0.8));
  }
  work.tick(0.8, 'simplifying');
  const simple = simplifyClosed(fine, { triangles }, partOfWork(work, 0.8, 0.95));
  return evenOutCrossings(simple, partOfWork(work, 0.95, 1)).mesh;
}

/** Triangles that a grid makes per area of a cell's face, over all slants of a surface; as measured on the helm. */
const TRIANGLES_PER_CELL_FACE = 2.75;
/** Under half the wall: a coarser grid would tear it and fray the ornament. */
const COARSEST_MM = 1.35;
/** Share of triangles made beyond those asked for. */
const SPARE = 1.08;
