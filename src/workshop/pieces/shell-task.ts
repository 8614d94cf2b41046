// A shell as the search sees it: samples of its surface, what a seam costs at each, and the beds.
import { partOfWork, type Work } from '../../base/work.ts';
import type { PrintBox } from '../../geometry/laying-frames.ts';
import type { Plane } from '../../geometry/plane.ts';
import { type SurfaceSamples, surfaceSamples, withNeighbours } from '../../geometry/surface-patches.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { type OutsideView, outsideView } from './outside-view.ts';
import type { PiecesSettings } from './pieces-settings.ts';
import { ANY_CUTS, type DivisionTask } from './proxy-part.ts';

/** Room left to what samples cannot know: about the sagitta of a spacing on a helmet's curvature. */
const SEARCH_SLACK_MM = 0.6;

export interface SampledShell {
  readonly samples: SurfaceSamples;
  readonly view: OutsideView;
}

export function sampledShell(mesh: Mesh, work: Work, aimNum: number): SampledShell {
  const bare = surfaceSamples(mesh, partOfWork(work, 0, 0.2), { aimNum });
  const view = outsideView(mesh, bare, partOfWork(work, 0.2, 1));
  return { samples: withNeighbours(bare, view.acrossWall), view };
}

export function taskOf(
  samples: SurfaceSamples,
  view: OutsideView,
  symmetry: Plane | null,
  settings: PiecesSettings,
): DivisionTask {
  const { hidden } = settings.weights;
  return {
    samples,
    weight: view.seen.map((seen) => hidden + (1 - hidden) * seen),
    boxes: settings.beds.map((bed) => boxOf(bed.bedMm, settings.marginMm)),
    weights: settings.weights,
    tries: ANY_CUTS,
    supports: new Map(),
    leastSectionMm: Math.max(1, settings.leastSectionMm),
    beamWidth: settings.beamWidth,
    mostPieces: settings.mostPieces,
    mirrorX: symmetry !== null && Math.abs(symmetry.normal[0]) > 0.999 ? symmetry.offsetMm / symmetry.normal[0] : null,
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

export function outerTriangles(samples: SurfaceSamples, view: OutsideView): Uint8Array {
  return Uint8Array.from(samples.triSample, (sample) => view.isOuter[sample]!);
}
