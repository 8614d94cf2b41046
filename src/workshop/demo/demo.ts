// The demonstration models, made by the program itself, so that every page can be tried without a file.
import { partOfWork, QUIET_WORK, type Work } from '../../base/work.ts';
import { type Field, isosurface } from '../../geometry/isosurface.ts';
import { simplifyClosed } from '../../geometry/simplify.ts';
import { type Bounds, type Mesh, numTris } from '../../mesh/mesh.ts';
import { KEEPERS_HELM_BOUNDS, keepersHelm } from './keepers-helm.ts';

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
  'keepers-helm': { title: "Keeper's helm", field: keepersHelm, bounds: KEEPERS_HELM_BOUNDS, areaMm2: 620_000 },
  'half-mask': { title: 'Tern mask', field: keepersHelm, bounds: KEEPERS_HELM_BOUNDS, areaMm2: 620_000 },
  'shoulder-guard': { title: 'Shoulder guard', field: keepersHelm, bounds: KEEPERS_HELM_BOUNDS, areaMm2: 620_000 },
};

/** What the piece is called in its book. */
export function demoTitle(shape: DemoShape): string {
  return PATTERNS[shape].title;
}

/** One closed shell, upright, face to +y, mm (file space), with the number of triangles asked for.
 *  It is meshed finer than its thinnest part and then simplified. Cost: 5 s for 200,000 triangles, 25 s for 2 million. */
export function demoModel(shape: DemoShape, options: Partial<DemoOptions> = {}, work: Work = QUIET_WORK): Mesh {
  const { triangles } = { ...DEMO_DEFAULTS, ...options };
  const { field, bounds, areaMm2 } = PATTERNS[shape];
  const cellMm = Math.min(COARSEST_MM, Math.sqrt((3 * areaMm2) / (SPARE * triangles)));
  const fine = isosurface(field, { within: bounds, cellMm }, partOfWork(work, 0, 0.7));
  work.tick(0.7, `simplifying ${numTris(fine)} triangles`);
  return simplifyClosed(fine, { triangles }, partOfWork(work, 0.7, 1));
}

/** Half the thinnest wall: a coarser grid would tear it. */
const COARSEST_MM = 1.15;
/** Share of triangles made beyond those asked for. */
const SPARE = 1.12;
