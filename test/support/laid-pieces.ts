// Pieces cut from a shell as a maker may lay them: on the best of six sides by hours and support, standing on z = 0.
import { QUIET_WORK } from '../../src/base/work.ts';
import { bounds, sizeOf } from '../../src/mesh/measure.ts';
import { type Mesh, numTris } from '../../src/mesh/mesh.ts';
import { type Transform, transformMesh } from '../../src/mesh/transform.ts';
import { PLA } from '../../src/workshop/facts/materials.ts';
import { type PosedPrint, poseBody, printsLying } from '../../src/workshop/printing/pose-choice.ts';
import { JOINT } from '../../src/workshop/printing/surface-kinds.ts';
import type { Machine } from '../../src/workshop/process/machine.ts';
import type { FittingPose } from '../../src/workshop/process/pieces-record.ts';
import type { PrintSettings } from '../../src/workshop/process/print-settings.ts';

/** Turns that bring each side of a box down. */
const SIDES: readonly Transform[] = [
  [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0],
  [1, 0, 0, 0, -1, 0, 0, 0, -1, 0, 0, 0],
  [1, 0, 0, 0, 0, 1, 0, -1, 0, 0, 0, 0],
  [1, 0, 0, 0, 0, -1, 0, 1, 0, 0, 0, 0],
  [0, 0, -1, 0, 1, 0, 1, 0, 0, 0, 0, 0],
  [0, 0, 1, 0, 1, 0, -1, 0, 0, 0, 0, 0],
];

/** Hours, a minute a gram of support, and 0.3 s a mm2 of held surface: a rule of its own, so that what is judged stays the same pieces lying the same
 *  way when the program's score for poses changes. */
function laidScore({ time, material, held }: PosedPrint): number {
  const heldMm2 = held.shownMm2 + held.jointMm2 + held.hiddenMm2;
  return time.printS + 60 * material.supportG + 0.3 * heldMm2;
}

export function laidPiece(mesh: Mesh, machine: Machine, print: PrintSettings): Mesh {
  const poses = SIDES.map((side): FittingPose => {
    const box = bounds(transformMesh(side, mesh));
    const toLaid: Transform = [...side.slice(0, 9), ...box.minMm.map((low) => -low)] as unknown as Transform;
    return { machine: machine.id, toLaid, sizeMm: sizeOf(box), lies: 'level' };
  });
  const body = poseBody(mesh, new Uint8Array(numTris(mesh)).fill(JOINT));
  const settings = { print, machines: [machine], material: PLA };
  const prints = poses.flatMap((pose) => printsLying(body, [pose], settings, QUIET_WORK));
  const best = prints.reduce((least, one) => (laidScore(one) < laidScore(least) ? one : least));
  return transformMesh(best.pose.toLaid, mesh);
}
