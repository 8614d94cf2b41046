// The full score of any way up, and the poses that a piece would be handed on with: what a search for poses is held against.
import { QUIET_WORK, type Work } from '../../src/base/work.ts';
import { roomOn, uprightStand } from '../../src/geometry/upright-stand.ts';
import type { Vec3 } from '../../src/mesh/mesh.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { PLA } from '../../src/workshop/facts/materials.ts';
import { fittingPoses } from '../../src/workshop/pieces/cut/fitting-pose.ts';
import { type PoseBody, poseBody, printsLying } from '../../src/workshop/printing/pose-choice.ts';
import { type MeasuredWay, searchPoses } from '../../src/workshop/printing/pose-search.ts';
import { printingMachine } from '../../src/workshop/process/machine.ts';
import type { FittingPose } from '../../src/workshop/process/pieces-record.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { testKernel } from './kernel.ts';
import type { PoseShape } from './pose-shapes.ts';

const solid = await testKernel();
export const machine = ordinaryMachine([120, 120, 120]);
const marginMm = 5;
const settings = {
  print: PrintSettings.parse({ layerMm: 0.3, firstLayerMm: 0.3 }),
  machines: [printingMachine(machine)],
  material: PLA,
  marginMm,
};

export function bodyOf({ mesh, kinds }: PoseShape): PoseBody {
  return poseBody(mesh, kinds);
}

/** As Pieces would hand them on. */
export function handedPoses({ mesh }: PoseShape): FittingPose[] {
  const beds = [{ id: machine.id, bedMm: machine.bedMm }];
  return fittingPoses(mesh, { ...QUIET_WORK, solid }, { beds, marginMm, matingFaces: [] });
}

export function searched(body: PoseBody, handed: readonly FittingPose[], work: Work = QUIET_WORK): MeasuredWay[] {
  const hull = solid.hull(body.mesh.positions);
  const wishes = { hull, handed, matingFaces: [], isAllowed: () => true, always: [] };
  return searchPoses(body, wishes, settings, work);
}

/** Infinite where the piece does not fit the bed so. */
export function fullScore(body: PoseBody, up: Vec3): number {
  const stand = uprightStand(body.mesh, body.mesh.positions, up, roomOn(machine.bedMm, marginMm));
  return stand === null ? Infinity : posedScore(body, { machine: machine.id, ...stand, lies: 'hull face' });
}

export function posedScore(body: PoseBody, pose: FittingPose): number {
  return printsLying(body, [pose], settings, QUIET_WORK)[0]!.scoreS;
}
