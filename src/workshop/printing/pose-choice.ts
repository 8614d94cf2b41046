// How a piece prints with one way up: on each machine it fits so, what it takes and what the maker pays for it.
import { partOfWork, type Work } from '../../base/work.ts';
import { type FootStand, footStand } from '../../geometry/foot-stand.ts';
import { type SupportColumns, supportColumns } from '../../geometry/support-columns.ts';
import { centreOfMass } from '../../mesh/measure.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { applyTransform, type Transform, transformMesh } from '../../mesh/transform.ts';
import type { PrintingMachine } from '../process/machine.ts';
import type { PrintingMaterial } from '../process/material.ts';
import type { FittingPose } from '../process/pieces-record.ts';
import type { PrintSettings } from '../process/print-settings.ts';
import type { MachinePrint } from '../process/printing-record.ts';
import { type LayerLines, layOutLayers } from './layer-lines.ts';
import { learnFrom } from './learnt-prints.ts';
import { type HeldAreas, heldAreas, poseScore, slendernessOn, terracedArea, unsteadiness } from './pose-score.ts';
import { correctedMaterial, type PrintMaterial, type PrintTime, printMaterial, printTime } from './print-time.ts';

export interface PosedPrint {
  readonly pose: FittingPose;
  readonly machine: PrintingMachine;
  readonly time: PrintTime;
  readonly material: PrintMaterial;
  readonly numLayers: number;
  /** Plastic on the bed: area of the first layer, and the share of support that is filled where it reaches down, mm2. */
  readonly footMm2: number;
  /** Of the piece itself, without support. */
  readonly ownFootMm2: number;
  /** Height over what the foot holds by, of pose-score. */
  readonly slenderness: number;
  /** How far it may be leaned before it tips over its foot, degrees; below 0 where its centre of mass stands outside. */
  readonly tipDeg: number;
  /** How much likelier than a squat print it fails, as a share more: 0 to 1. */
  readonly unsteady: number;
  /** Held surface seen from above, by what it is, mm2. */
  readonly held: HeldAreas;
  /** Area that shows and on which terraces will, mm2. */
  readonly terracesMm2: number;
  /** Seconds, with what a maker pays for support, scars, terraces and unsteadiness; lowest wins. */
  readonly scoreS: number;
}

export interface PoseSettings {
  readonly print: PrintSettings;
  readonly machines: readonly PrintingMachine[];
  readonly material: PrintingMaterial;
}

/** A piece, as poses are weighed by. Space: model. */
export interface PoseBody {
  readonly mesh: Mesh;
  /** Per triangle, of surface-kinds. */
  readonly kinds: Uint8Array;
  readonly centreMm: Vec3;
}

export function poseBody(mesh: Mesh, kinds: Uint8Array): PoseBody {
  return { mesh, kinds, centreMm: centreOfMass(mesh) };
}

/** One print for each pose on a machine of the settings, lowest score first. `poses` differ in machine and turn about the vertical only.
 *  Cost: one sweep of the layers and one pass for support, about 1 s for a million triangles. */
export function printsLying(
  body: PoseBody,
  poses: readonly FittingPose[],
  settings: PoseSettings,
  work: Work,
): PosedPrint[] {
  const [first] = poses;
  if (first === undefined) return [];
  const { print } = settings;
  const laid = transformMesh(first.toLaid, body.mesh);
  const columns = supportColumns(laid, { limitDeg: print.overhangLimitDeg }, partOfWork(work, 0, 0.2));
  const lines = layOutLayers(laid, print, partOfWork(work, 0.2, 0.9), columns);
  const estimated = printMaterial(lines, print, settings.material);
  const standing = {
    ...standingOf(
      lines,
      print,
      footStand(footPoints(laid, columns, print), applyTransform(first.toLaid, body.centreMm)),
    ),
    held: heldAreas(columns, body.kinds),
    terracesMm2: terracedArea(laid, body.kinds, print),
  };
  return poses
    .flatMap((pose, i): PosedPrint[] => {
      const machine = settings.machines.find(({ id }) => id === pose.machine);
      if (machine === undefined) return [];
      const time = printTime(
        lines,
        machine,
        print,
        partOfWork(work, 0.9 + (0.1 * i) / poses.length, 0.9 + (0.1 * (i + 1)) / poses.length),
      );
      const material = correctedMaterial(estimated, learnFrom(machine.measured));
      const scoreS = poseScore({ ...standing, printS: time.printS, supportG: material.supportG });
      return [{ pose, machine, time, material, ...standing, scoreS }];
    })
    .sort((one, other) => one.scoreS - other.scoreS);
}

function standingOf({ measures, columns }: LayerLines, print: PrintSettings, { tipDeg, hullMm2 }: FootStand) {
  const { numLayers, areaMm2, bottomMm } = measures;
  const ownFootMm2 = Math.max(0, areaMm2[0] ?? 0);
  const footMm2 = ownFootMm2 + (areaOnBed(columns) * print.supportPercent) / 100;
  const slenderness = slendernessOn({ footMm2, hullMm2 }, bottomMm[numLayers]!);
  const unsteady = unsteadiness({ slenderness, tipDeg, ownFootMm2 });
  return { numLayers, footMm2, ownFootMm2, slenderness, tipDeg, unsteady };
}

function areaOnBed(columns: SupportColumns): number {
  let sum = 0;
  for (let i = 0; i < columns.num; i++) if (columns.bottomMm[i] === 0) sum += columns.areaMm2[i]!;
  return sum;
}

/** Seen from above: vertices within the first layer, and feet of columns on the bed. */
function footPoints({ positions }: Mesh, columns: SupportColumns, { firstLayerMm }: PrintSettings): Float64Array {
  const points: number[] = [];
  for (let i = 0; i < positions.length; i += 3)
    if (positions[i + 2]! < firstLayerMm) points.push(positions[i]!, positions[i + 1]!);
  for (let i = 0; i < columns.num; i++) if (columns.bottomMm[i] === 0) points.push(columns.xMm[i]!, columns.yMm[i]!);
  return Float64Array.from(points);
}

/** Lying the same way: on its own machine first, then on the others, each with its best score. `prints`: of printsLying. */
export function onMachines(prints: readonly [PosedPrint, ...PosedPrint[]]): MachinePrint[] {
  const [own] = prints;
  return prints
    .filter(({ machine }, i) => prints.findIndex((other) => other.machine.id === machine.id) === i)
    .map(({ machine, pose, time }) => ({
      machine: machine.id,
      turnDeg: turnedDeg(own.pose.toLaid, pose.toLaid),
      sizeMm: pose.sizeMm,
      layerS: time.layerS,
      startUpS: time.seconds.startUp,
      shortestLayerS: machine.shortestLayerS * learnFrom(machine.measured).factors.held,
    }));
}

/** Between two poses with the same up, about it. */
function turnedDeg(from: Transform, to: Transform): number {
  // the first two columns hold where the axes of the model come to lie on the bed
  let [cos, sin] = [0, 0];
  for (const row of [0, 3, 6]) {
    cos += from[row]! * to[row]! + from[row + 1]! * to[row + 1]!;
    sin += from[row]! * to[row + 1]! - from[row + 1]! * to[row]!;
  }
  return (Math.atan2(sin, cos) * 180) / Math.PI;
}
