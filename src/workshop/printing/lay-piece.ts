// What one piece needs of the chapter, as a share: how it lies, how long it prints, and its place on the bed. Pieces go side by side.
import { partOfWork, type Share } from '../../base/work.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { Transform } from '../../mesh/transform.ts';
import type { FittingPose } from '../process/pieces-record.ts';
import { soundPlace } from '../process/written-piece.ts';
import { type ChosenPrint, choosePose, type PoseSettings } from './pose-choice.ts';

export interface PieceToLay {
  /** Model space, mm. */
  readonly mesh: Mesh;
  /** At least one. */
  readonly poses: readonly FittingPose[];
}

export interface LaidPiece {
  readonly chosen: ChosenPrint;
  /** Laid space to model space. */
  readonly toModel: Transform;
}

/** Cost: that of choosePose and soundPlace. */
export const layPieceShare: Share<PoseSettings, PieceToLay, LaidPiece> = {
  name: 'lay piece',
  run(settings, { mesh, poses }, work) {
    const chosen = choosePose(mesh, poses, settings, partOfWork(work, 0, 0.9));
    work.tick(0.9, 'looking for a sound place on the bed');
    return { chosen, toModel: soundPlace(mesh, chosen.pose.toLaid) };
  },
};
