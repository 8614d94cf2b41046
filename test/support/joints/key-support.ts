// Support that keys need: of a keyed piece in the pose it prints in, and of the same piece as it was cut, in the same place.
import { QUIET_WORK } from '../../../src/base/work.ts';
import { supportColumns } from '../../../src/geometry/support-columns.ts';
import type { Mesh } from '../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../src/mesh/transform.ts';
import { ordinaryMachine } from '../../../src/workshop/facts/machines.ts';
import { PLA } from '../../../src/workshop/facts/materials.ts';
import { choosePose } from '../../../src/workshop/printing/pose-choice.ts';
import { PrintingSettings } from '../../../src/workshop/printing/printing.ts';
import { printingMachine } from '../../../src/workshop/process/machine.ts';
import { PrintSettings } from '../../../src/workshop/process/print-settings.ts';
import type { KeyedModel } from './keyed-model.ts';

export interface KeySupport {
  readonly piece: string;
  readonly lies: string;
  readonly keyedG: number;
  readonly plainG: number;
}

export function keySupport({ plain, keyed, meshes, bedMm }: KeyedModel): KeySupport[] {
  const machine = printingMachine({ ...ordinaryMachine(bedMm), id: 'bed' });
  const material = { densityGCm3: PLA.densityGCm3, filamentMm: PLA.filamentMm };
  const settings = PrintingSettings.parse({ print: PrintSettings.parse({}), machines: [machine], material });
  const { overhangLimitDeg: limitDeg, supportPercent } = settings.print;
  return keyed.pieces.map((piece, i) => {
    const mesh = meshes.get(piece.mesh)!;
    const { pose } = choosePose(mesh, piece.poses, settings, QUIET_WORK);
    const grams = (one: Mesh): number => {
      const { volumeMm3 } = supportColumns(transformMesh(pose.toLaid, one), { limitDeg }, QUIET_WORK);
      return (volumeMm3 * supportPercent * PLA.densityGCm3) / 1e5;
    };
    return {
      piece: piece.id,
      lies: pose.lies,
      keyedG: grams(mesh),
      plainG: grams(meshes.get(plain.pieces[i]!.mesh)!),
    };
  });
}
