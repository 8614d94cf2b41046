// A shell as the search sees it: samples of its surface, what a seam costs at each, and the beds.
import { partOfWork, type Work } from '../../../base/work.ts';
import type { PrintBox } from '../../../geometry/laying-frames.ts';
import type { Plane } from '../../../geometry/plane.ts';
import { SAMPLE_DEFAULTS, type SurfaceSamples, withNeighbours } from '../../../geometry/surface-patches.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import type { DivideSettings } from '../asked/asked-at-size.ts';
import { claimsOf, withClearAreas } from '../asked/asked-search.ts';
import { volumeOf } from '../cut/piece-measures.ts';
import { type OutsideView, outsideView, VIEW_DEFAULTS } from '../price/outside-view.ts';
import { type PricedShell, pricedShell } from '../price/seam-gauge.ts';
import { type SeamPrice, samplePrices, seamPrice } from '../price/seam-price.ts';
import { shellSurface } from '../price/shell-surface.ts';
import { foldPlanes } from './fold-planes.ts';
import { ANY_CUTS, type DivisionTask } from './proxy-part.ts';

/** Room left to what samples cannot know: about the sagitta of a spacing on a helmet's curvature. */
const SEARCH_SLACK_MM = 0.6;

export interface SampledShell {
  readonly samples: SurfaceSamples;
  readonly view: OutsideView;
  /** Per triangle of the mesh. */
  readonly price: SeamPrice;
  /** Per sample: mean price of its outside, 0 inside. */
  readonly weight: Float64Array;
  readonly shell: PricedShell;
}

export function sampledShell(
  mesh: Mesh,
  settings: Pick<DivideSettings, 'viewers' | 'weights' | 'demands'>,
  work: Work,
  options: { aimNum: number } = SAMPLE_DEFAULTS,
): SampledShell {
  const { tree, samples: bare, crease } = shellSurface(mesh, options.aimNum, partOfWork(work, 0, 0.4));
  const looking = { ...VIEW_DEFAULTS, viewers: settings.viewers, tree };
  const view = outsideView(mesh, bare, partOfWork(work, 0.4, 0.85), looking);
  const price = seamPrice(mesh, { samples: bare, view, crease }, settings.weights.hidden, partOfWork(work, 0.85, 1));
  const sampled = {
    samples: withNeighbours(bare, view.acrossWall),
    view,
    price,
    weight: samplePrices(mesh, bare, price),
  };
  const clear = withClearAreas(sampled, mesh, settings.demands.areas);
  return { ...clear, shell: pricedShell(mesh, clear.price.price, clear.samples) };
}

export function taskOf(
  { samples, weight, price, shell }: Pick<SampledShell, 'samples' | 'weight' | 'price' | 'shell'>,
  symmetry: Plane | null,
  settings: DivideSettings,
): DivisionTask {
  const boxes = settings.beds.map((bed) => boxOf(bed.bedMm, settings.marginMm));
  const mirrorX =
    symmetry !== null && Math.abs(symmetry.normal[0]) > 0.999 ? symmetry.offsetMm / symmetry.normal[0] : null;
  return {
    samples,
    shell,
    folds: foldPlanes(shell, price, mirrorX),
    weight,
    boxes,
    claims: claimsOf(settings.demands.machines, samples, boxes),
    heldCuts: 0,
    weights: settings.weights,
    tries: ANY_CUTS,
    supports: new Map(),
    thickMm: volumeOf(shell.mesh) / samples.areaMm2.reduce((sum, area) => sum + area, 0),
    leastSectionMm: Math.max(1, settings.leastSectionMm),
    beamWidth: settings.beamWidth,
    mostPieces: settings.mostPieces,
    mirrorX,
    apartMm: 0.1 * Math.max(...settings.beds.map((bed) => Math.hypot(...bed.bedMm))),
  };
}

function boxOf(bedMm: Vec3, marginMm: number): PrintBox {
  return {
    widthMm: bedMm[0] - 2 * marginMm - SEARCH_SLACK_MM,
    depthMm: bedMm[1] - 2 * marginMm - SEARCH_SLACK_MM,
    heightMm: bedMm[2] - marginMm - SEARCH_SLACK_MM,
  };
}
