// Picks how a piece lies and on which machine, from the poses that fit: hours, support to remove, and how firmly it stands.
import { partOfWork, type Work } from '../../base/work.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { type Transform, transformMesh } from '../../mesh/transform.ts';
import type { Machine } from '../process/machine.ts';
import type { Material } from '../process/material.ts';
import type { FittingPose } from '../process/pieces-record.ts';
import type { PrintSettings } from '../process/print-settings.ts';
import { type LayerLines, layOutLayers } from './layer-lines.ts';
import { type PrintMaterial, type PrintTime, printMaterial, printTime } from './print-time.ts';

export interface PosedPrint {
  readonly pose: FittingPose;
  readonly machine: Machine;
  readonly time: PrintTime;
  readonly material: PrintMaterial;
  readonly numLayers: number;
  /** Area of the first layer, mm2. */
  readonly contactMm2: number;
  /** Height over the square root of the contact area. */
  readonly slenderness: number;
  /** Held surface seen from above, mm2. */
  readonly heldMm2: number;
  /** Seconds, with what a maker pays for support and for unsteadiness; lowest wins. */
  readonly scoreS: number;
}

export interface PoseSettings {
  readonly print: PrintSettings;
  readonly machines: readonly Machine[];
  readonly material: Material;
}

/** Orientations looked at in full. */
export const MOST_ORIENTATIONS = 3;
/** Removing support costs this long a gram; common practice, no source. */
const REMOVAL_S_PER_G = 60;
/** Held surface costs this long a mm2 to smooth; common practice, no source. */
const SMOOTHING_S_PER_MM2 = 0.3;
/** A print taller than this many times the root of its foot is at risk; each unit more counts a tenth of its time again. */
const STEADY_SLENDERNESS = 6;
const RISK_PER_SLENDERNESS = 0.1;

/** Best pose and machine for a piece. `poses` has at least one; equal orientations are measured once for all machines.
 *  Cost: layer sweep, support and time of at most three orientations. */
export function choosePose(mesh: Mesh, poses: readonly FittingPose[], settings: PoseSettings, work: Work): PosedPrint {
  const orientations = groupByOrientation(poses).slice(0, MOST_ORIENTATIONS);
  let best: PosedPrint | null = null;
  for (const [i, group] of orientations.entries()) {
    const part = partOfWork(work, i / orientations.length, (i + 1) / orientations.length);
    for (const print of posedPrints(mesh, group, settings, part))
      if (best === null || print.scoreS < best.scoreS) best = print;
  }
  return best!;
}

function* posedPrints(
  mesh: Mesh,
  group: readonly FittingPose[],
  settings: PoseSettings,
  work: Work,
): Generator<PosedPrint, void, void> {
  const lines = layOutLayers(transformMesh(group[0]!.toLaid, mesh), settings.print, partOfWork(work, 0, 0.9));
  const material = printMaterial(lines, settings.print, settings.material);
  for (const pose of group) {
    const machine = settings.machines.find((m) => m.id === pose.machine);
    if (machine === undefined) continue;
    const time = printTime(lines, machine, settings.print, partOfWork(work, 0.9, 1));
    yield scorePose(pose, lines, { machine, time, material });
  }
}

function scorePose(
  pose: FittingPose,
  lines: LayerLines,
  print: Pick<PosedPrint, 'machine' | 'time' | 'material'>,
): PosedPrint {
  const { numLayers, areaMm2, bottomMm } = lines.measures;
  const contactMm2 = Math.max(0, areaMm2[0] ?? 0);
  const slenderness = contactMm2 > 0 ? bottomMm[numLayers]! / Math.sqrt(contactMm2) : 1000;
  const heldMm2 = lines.columns.areaSumMm2;
  const unsteady = Math.min(1, Math.max(0, slenderness - STEADY_SLENDERNESS) * RISK_PER_SLENDERNESS);
  const scoreS =
    print.time.printS * (1 + unsteady) + print.material.supportG * REMOVAL_S_PER_G + heldMm2 * SMOOTHING_S_PER_MM2;
  return { pose, ...print, numLayers, contactMm2, slenderness, heldMm2, scoreS };
}

/** Poses with equal transforms together, in order of first appearance. */
function groupByOrientation(poses: readonly FittingPose[]): FittingPose[][] {
  const groups: FittingPose[][] = [];
  for (const pose of poses) {
    const group = groups.find((g) => isSameTransform(g[0]!.toLaid, pose.toLaid));
    if (group === undefined) groups.push([pose]);
    else group.push(pose);
  }
  return groups;
}

/** A different shift on the bed or turn about the vertical changes nothing that is measured. */
function isSameTransform(a: Transform, b: Transform): boolean {
  return a[2] === b[2] && a[5] === b[5] && a[8] === b[8];
}
