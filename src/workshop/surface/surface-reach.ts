// Which tool gets where on the outside of the assembled shell, and where a sander's warmth could soften the wall.
import { partOfWork, type Work } from '../../base/work.ts';
import { discReach } from '../../geometry/disc-reach.ts';
import { thinPlaces } from '../../geometry/wall/thin-places.ts';
import { wallThickness } from '../../geometry/wall/wall-thickness.ts';
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { SurfaceReach } from '../process/surface-record.ts';
import type { SettledSurface } from './surface-settings.ts';

/** Triangles at which the wall is measured: enough for places of half a square centimetre. */
const WALLS_MEASURED = 10_000;
/** Smaller places are edges that come to a point, and a sander passes over them in no time, mm2. Common practice, no source. */
const LEAST_SOFT_MM2 = 200;

export interface WornOutside {
  /** Model space at worn size. */
  readonly mesh: Mesh;
  /** numTris of it: 0 on the inside. */
  readonly seen: Uint8Array;
}

/** Which tool is the largest to reach each triangle, and walls too thin for the sander. Cost: a bounding tree, and some 0.3 ms for each of 6,000 places and 0.03 ms for each of 10,000 walls. */
export function surfaceReach(
  worn: WornOutside,
  settings: SettledSurface,
  work: Work,
): Pick<SurfaceReach, 'perTri' | 'soft'> {
  const { mesh, seen } = worn;
  const { swabBehindMm, fingerBehindMm, blockBehindMm, sanderBehindMm } = settings.numbers;
  const tools = [
    { radiusMm: settings.swabMm, heightMm: swabBehindMm },
    { radiusMm: settings.fingerMm, heightMm: fingerBehindMm },
    { radiusMm: settings.blockMm, heightMm: blockBehindMm },
    { radiusMm: settings.sanderMm, heightMm: sanderBehindMm },
  ];
  const tree = buildBoundingTree(mesh, partOfWork(work, 0, 0.2));
  const { perTri } = discReach(mesh, tree, {
    tools,
    giveMm: settings.giveMm,
    asked: seen,
    work: partOfWork(work, 0.2, 0.7),
  });
  const wall = wallThickness(mesh, tree, partOfWork(work, 0.7, 1), { mostMeasured: WALLS_MEASURED });
  const underSander = wall.perTriMm.map((mm, t) => (seen[t] !== 0 && perTri[t] === tools.length ? mm : Infinity));
  const soft = thinPlaces(mesh, underSander, settings.softMm, { leastAreaMm2: LEAST_SOFT_MM2 });
  return {
    perTri: perTri.map((count, t) => (seen[t] === 0 ? 0 : count + 1)),
    soft: soft.places,
  };
}
