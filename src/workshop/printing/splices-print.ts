// The loose splices of the joints as one print: laid side by side, timed and weighed like a piece.
import { invariant } from '../../base/invariant.ts';
import type { Work } from '../../base/work.ts';
import { together } from '../../mesh/builders.ts';
import { bounds, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import { transformMesh } from '../../mesh/transform.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import { laidSplices } from '../process/laid-splices.ts';
import type { FittingPose } from '../process/pieces-record.ts';
import type { SplicesPrint } from '../process/printing-record.ts';
import { estimateOf } from './estimates.ts';
import { onMachines, type PoseSettings, poseBody, printsLying } from './pose-choice.ts';
import { INSIDE } from './surface-kinds.ts';

/** Between splices on the bed: room for a brim and a blade. */
const APART_MM = 5;

/** On the machine that is quickest with them; null where no seam has any. Cost: that of one pose of their few triangles a machine.
 *  Weak: that they fit one bed is taken for granted: a hundred of them cover 220 x 220 mm. */
export function splicesPrint(
  joints: Pick<JointsRecord, 'joints' | 'loose'>,
  settings: PoseSettings,
  work: ChapterWork & Work,
): SplicesPrint | null {
  const laid = laidSplices(joints, work.meshes).map(({ mesh }) => mesh);
  if (laid.length === 0) return null;
  const [first] = settings.machines;
  invariant(first !== undefined, 'a build has a machine');
  const mesh = inRows(laid, first.bedMm[0]);
  const sizeMm = sizeOf(bounds(mesh));
  const poses = settings.machines.map(
    ({ id }): FittingPose => ({ machine: id, toLaid: [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0], sizeMm, lies: 'level' }),
  );
  const body = poseBody(mesh, new Uint8Array(numTris(mesh)).fill(INSIDE));
  const [best, ...others] = printsLying(body, poses, settings, work);
  invariant(best !== undefined, 'splices lie on a machine of the build');
  const { filamentG, supportG, filamentM } = best.material;
  return {
    count: laid.length,
    machine: best.machine.id,
    sizeMm,
    on: onMachines([best, ...others]),
    printS: best.time.printS,
    filamentG,
    supportG,
    filamentM,
    ...estimateOf(best),
  };
}

/** Side by side in rows, each as deep as its deepest. */
function inRows(laid: readonly Mesh[], widthMm: number): Mesh {
  let [x, y, deep] = [0, 0, 0];
  return together(
    laid.map((mesh) => {
      const [wide, depth] = sizeOf(bounds(mesh));
      if (x > 0 && x + wide > widthMm) [x, y, deep] = [0, y + deep + APART_MM, 0];
      const placed = transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, x, y, 0], mesh);
      [x, deep] = [x + wide + APART_MM, Math.max(deep, depth)];
      return placed;
    }),
  );
}
