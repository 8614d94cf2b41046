// Picks how a piece lies and on which machine, from the poses that fit: hours, support to remove, and how firmly it stands.
import { invariant } from '../../base/invariant.ts';
import { partOfWork, type Work } from '../../base/work.ts';
import { type SupportColumns, supportColumns } from '../../geometry/support-columns.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { type Transform, transformMesh } from '../../mesh/transform.ts';
import type { PrintingMachine } from '../process/machine.ts';
import type { PrintingMaterial } from '../process/material.ts';
import type { FittingPose } from '../process/pieces-record.ts';
import type { PrintSettings } from '../process/print-settings.ts';
import type { MachinePrint } from '../process/printing-record.ts';
import { type LayerLines, layOutLayers } from './layer-lines.ts';
import { learnFrom } from './learnt-prints.ts';
import { correctedMaterial, type PrintMaterial, type PrintTime, printMaterial, printTime } from './print-time.ts';

export interface PosedPrint {
  readonly pose: FittingPose;
  readonly machine: PrintingMachine;
  readonly time: PrintTime;
  readonly material: PrintMaterial;
  readonly numLayers: number;
  /** What stands on the bed: area of the first layer, and of support that reaches down to it, mm2. */
  readonly footMm2: number;
  /** Height over the square root of the foot. */
  readonly slenderness: number;
  /** How much likelier than a squat print it fails, as a share more: 0 to 1. */
  readonly unsteady: number;
  /** Held surface seen from above, mm2. */
  readonly heldMm2: number;
  /** Seconds, with what a maker pays for support and for unsteadiness; lowest wins. */
  readonly scoreS: number;
}

export interface ChosenPrint extends PosedPrint {
  /** Lying the same way: on its own machine first, then on the others, each with its best score. */
  readonly on: readonly MachinePrint[];
}

export interface PoseSettings {
  readonly print: PrintSettings;
  readonly machines: readonly PrintingMachine[];
  readonly material: PrintingMaterial;
}

/** Orientations measured in full, of all those for which support has been measured. */
export const MOST_ORIENTATIONS = 3;
/** Removing support costs this long a gram; common practice, no source. */
const REMOVAL_S_PER_G = 60;
/** Held surface costs this long a mm2 to smooth; common practice, no source. */
const SMOOTHING_S_PER_MM2 = 0.3;
/** A print taller than this many times the root of its foot is at risk; each unit more counts a tenth of its time again. */
const STEADY_SLENDERNESS = 6;
const RISK_PER_SLENDERNESS = 0.1;

/** Best pose and machine for a piece. `poses` has at least one; equal orientations are measured once for all machines.
 *  Support is measured for every orientation; the best three by support and number of layers are laid out and timed in full.
 *  Space: mesh and poses in model space, mm. Cost: about 0.25 s a million triangles and orientation, 1 s for each in full. */
export function choosePose(mesh: Mesh, poses: readonly FittingPose[], settings: PoseSettings, work: Work): ChosenPrint {
  const groups = groupByOrientation(poses, settings.machines);
  invariant(groups.length > 0, 'a piece has a pose on a machine of the settings');
  const stands = groups
    .map((group, i) =>
      standOf(mesh, group, settings, partOfWork(work, (0.3 * i) / groups.length, (0.3 * (i + 1)) / groups.length)),
    )
    .sort((a, b) => a.roughS - b.roughS)
    .slice(0, MOST_ORIENTATIONS);
  let best: PosedPrint | null = null;
  let sameWay: readonly PosedPrint[] = [];
  for (const [i, stand] of stands.entries()) {
    const part = partOfWork(work, 0.3 + (0.7 * i) / stands.length, 0.3 + (0.7 * (i + 1)) / stands.length);
    const prints = [...posedPrints(mesh, stand, settings, part)];
    for (const print of prints) if (best === null || print.scoreS < best.scoreS) [best, sameWay] = [print, prints];
  }
  return { ...best!, on: onMachines(best!, sameWay) };
}

/** An orientation with its support, before layers. */
interface Stand {
  readonly group: readonly FittingPose[];
  readonly columns: SupportColumns;
  /** What differs between orientations, roughly: support to lay, remove and smooth, and time lost a layer. */
  readonly roughS: number;
}

/** Time lost between layers, roughly. */
const LOST_S_PER_LAYER = 3;

function standOf(mesh: Mesh, group: readonly FittingPose[], settings: PoseSettings, work: Work): Stand {
  const { print, material } = settings;
  const pose = group[0]!;
  const machine = machineOf(pose, settings.machines)!;
  const columns = supportColumns(transformMesh(pose.toLaid, mesh), { limitDeg: print.overhangLimitDeg }, work);
  const plasticMm3 = (columns.volumeMm3 * print.supportPercent) / 100;
  const laidS = plasticMm3 / (print.lineMm * print.layerMm * machine.supportSpeedMmS);
  const removedS = (plasticMm3 * material.densityGCm3 * REMOVAL_S_PER_G) / 1000;
  const roughS =
    laidS + removedS + columns.areaSumMm2 * SMOOTHING_S_PER_MM2 + (pose.sizeMm[2] / print.layerMm) * LOST_S_PER_LAYER;
  return { group, columns, roughS };
}

function* posedPrints(mesh: Mesh, stand: Stand, settings: PoseSettings, work: Work): Generator<PosedPrint, void, void> {
  const { print } = settings;
  const laid = transformMesh(stand.group[0]!.toLaid, mesh);
  const lines = layOutLayers(laid, print, partOfWork(work, 0, 0.9), stand.columns);
  const estimated = printMaterial(lines, print, settings.material);
  for (const pose of stand.group) {
    const machine = machineOf(pose, settings.machines)!;
    const time = printTime(lines, machine, print, partOfWork(work, 0.9, 1));
    const material = correctedMaterial(estimated, learnFrom(machine.measured));
    yield scorePose(pose, lines, { machine, time, material });
  }
}

function machineOf(pose: FittingPose, machines: readonly PrintingMachine[]): PrintingMachine | undefined {
  return machines.find((machine) => machine.id === pose.machine);
}

function scorePose(
  pose: FittingPose,
  lines: LayerLines,
  print: Pick<PosedPrint, 'machine' | 'time' | 'material'>,
): PosedPrint {
  const { numLayers, areaMm2, bottomMm } = lines.measures;
  const footMm2 = Math.max(0, areaMm2[0] ?? 0) + areaOnBed(lines.columns);
  const slenderness = footMm2 > 0 ? bottomMm[numLayers]! / Math.sqrt(footMm2) : Infinity;
  const heldMm2 = lines.columns.areaSumMm2;
  const unsteady = Math.min(1, Math.max(0, slenderness - STEADY_SLENDERNESS) * RISK_PER_SLENDERNESS);
  const scoreS =
    print.time.printS * (1 + unsteady) + print.material.supportG * REMOVAL_S_PER_G + heldMm2 * SMOOTHING_S_PER_MM2;
  return { pose, ...print, numLayers, footMm2, slenderness, unsteady, heldMm2, scoreS };
}

function areaOnBed(columns: SupportColumns): number {
  let sum = 0;
  for (let i = 0; i < columns.num; i++) if (columns.bottomMm[i] === 0) sum += columns.areaMm2[i]!;
  return sum;
}

/** Poses that differ only in their place on the bed or their turn about the vertical, in order of first appearance. */
function groupByOrientation(poses: readonly FittingPose[], machines: readonly PrintingMachine[]): FittingPose[][] {
  const groups: FittingPose[][] = [];
  for (const pose of poses) {
    if (machineOf(pose, machines) === undefined) continue;
    const group = groups.find((g) => hasSameUp(g[0]!.toLaid, pose.toLaid));
    if (group === undefined) groups.push([pose]);
    else group.push(pose);
  }
  return groups;
}

function hasSameUp(a: Transform, b: Transform): boolean {
  return Math.abs(a[2]! - b[2]!) + Math.abs(a[5]! - b[5]!) + Math.abs(a[8]! - b[8]!) < 1e-9;
}

/** `sameWay`: prints that differ from `own` in machine and turn about the vertical. */
function onMachines(own: PosedPrint, sameWay: readonly PosedPrint[]): MachinePrint[] {
  const ordered = [own, ...[...sameWay].sort((one, other) => one.scoreS - other.scoreS)];
  return ordered
    .filter(({ machine }, i) => ordered.findIndex((other) => other.machine.id === machine.id) === i)
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
