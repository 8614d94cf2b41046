// What one piece needs of the chapter, as a share: how it lies, how long it prints, and its place on the bed. Pieces go side by side.
import { partOfWork, type Share } from '../../base/work.ts';
import type { Transform } from '../../mesh/transform.ts';
import { soundPlace } from '../process/written-piece.ts';
import { type BestPoses, bestPoses, type PieceToLay } from './best-poses.ts';
import type { SearchSettings } from './pose-search.ts';

export type { PieceToLay } from './best-poses.ts';

export interface LaidPiece extends BestPoses {
  /** Laid space to model space. */
  readonly toModel: Transform;
}

/** Cost: that of bestPoses and soundPlace. */
export const layPieceShare: Share<SearchSettings, PieceToLay, LaidPiece> = {
  name: 'lay piece',
  run(settings, piece, work) {
    const best = bestPoses(piece, settings, partOfWork(work, 0, 0.9));
    work.tick(0.9, 'looking for a sound place on the bed');
    return { ...best, toModel: soundPlace(piece.mesh, best.chosen.pose.toLaid) };
  },
};
