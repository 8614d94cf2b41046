// The three poses of a piece that the maker chooses among: clearly different ways to lie, the one that is printed first.

import type { Finding } from '../../base/findings.ts';
import { invariant } from '../../base/invariant.ts';
import type { Work } from '../../base/work.ts';
import { dot } from '../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { Key } from '../process/joints-record.ts';
import { MOST_DOWN } from '../process/key-reach.ts';
import type { FittingPose, Piece } from '../process/pieces-record.ts';
import type { LyingPose, MachinePrint } from '../process/printing-record.ts';
import { poseUnmet } from './asked-poses.ts';
import { onMachines, type PosedPrint, poseBody } from './pose-choice.ts';
import { apart, type SearchSettings, searchPoses, upOf } from './pose-search.ts';

/** How many poses are told of a piece, and how far they lie apart at least. */
const MOST_TOLD = 3;
const TOLD_APART_DEG = 15;
/** A pose this near the asked one is it. */
const ASKED_NEAR_DEG = 0.3;

/** Space: model, mm. */
export interface PieceToLay extends Pick<Piece, 'id' | 'mark'> {
  readonly mesh: Mesh;
  readonly hull: Mesh;
  /** Per triangle, of surface-kinds. */
  readonly kinds: Uint8Array;
  /** At least one; only their machines are thought of. */
  readonly handed: readonly FittingPose[];
  /** Outward normals. */
  readonly matingFaces: readonly Vec3[];
  /** What stands out of it. */
  readonly keys: readonly Key[];
  /** The way up that the maker asked for, by its place in the build file. */
  readonly asked: { readonly index: number; readonly up: Vec3 } | null;
}

export interface BestPoses {
  readonly chosen: PosedPrint;
  /** Lying so: its own machine first, then every other that takes it. */
  readonly on: readonly MachinePrint[];
  /** What is printed first, then the best of the others. */
  readonly poses: readonly LyingPose[];
  /** Place of the wish that it lies by, in the build file. */
  readonly asked: number | null;
  readonly findings: readonly Finding[];
}

/** Cost: searchPoses. Findings: POSE_UNMET where the pose asked for cannot be. */
export function bestPoses(piece: PieceToLay, settings: SearchSettings, work: Work): BestPoses {
  const { mesh, hull, handed, keys } = piece;
  const up = piece.asked === null ? null : unitOf(piece.asked.up);
  const measured = searchPoses(
    poseBody(mesh, piece.kinds),
    {
      hull,
      handed,
      matingFaces: piece.matingFaces,
      isAllowed: (down) => keys.every(({ into }) => dot(down, into) < MOST_DOWN),
      always: up === null ? [] : [up],
    },
    settings,
    work,
  );
  const [best] = measured;
  invariant(best !== undefined, 'a piece has a pose on a machine of the settings');
  const isMet = ({ pose }: PosedPrint): boolean =>
    up !== null && dot(upOf(pose), up) > Math.cos((ASKED_NEAR_DEG * Math.PI) / 180);
  const met = measured.find(([one]) => isMet(one));
  const chosen = met ?? best;
  const told = apart([chosen, ...measured], ([one]) => upOf(one.pose), { deg: TOLD_APART_DEG, most: MOST_TOLD });
  return {
    chosen: chosen[0],
    on: onMachines(chosen),
    poses: told.map(([one]) => lyingPose(one)),
    asked: met === undefined ? null : piece.asked!.index,
    findings:
      piece.asked === null || up === null || met !== undefined ? [] : [unmet(piece, { ...piece.asked, up }, settings)],
  };
}

function unmet(
  piece: PieceToLay,
  wish: { readonly index: number; readonly up: Vec3 },
  { machines, marginMm }: SearchSettings,
): Finding {
  const own = machines.filter(({ id }) => piece.handed.some(({ machine }) => machine === id));
  return poseUnmet(piece, wish, { keys: piece.keys, machines: own, marginMm, outer: piece.hull.positions });
}

function unitOf(up: Vec3): Vec3 {
  const length = Math.hypot(...up);
  return [up[0] / length, up[1] / length, up[2] / length];
}

function lyingPose(one: PosedPrint): LyingPose {
  const { pose, held, time, material } = one;
  return {
    up: upOf(pose),
    lies: pose.lies,
    machine: one.machine.id,
    printS: time.printS,
    supportG: material.supportG,
    heldShownMm2: held.shownMm2,
    heldElsewhereMm2: held.jointMm2 + held.hiddenMm2,
    terracesMm2: one.terracesMm2,
    heightMm: pose.sizeMm[2],
    footMm2: one.footMm2,
    ownFootMm2: one.ownFootMm2,
    tipDeg: one.tipDeg,
    riskShare: one.unsteady,
    scoreS: one.scoreS,
  };
}
