// Joints without keys, by hand, for tests of what follows them.
import { joinOrder } from '../../src/workshop/process/join-order.ts';
import type { Joint, JointsRecord } from '../../src/workshop/process/joints-record.ts';
import type { PiecesRecord, Seam } from '../../src/workshop/process/pieces-record.ts';

export function plainJoint(seam: Pick<Seam, 'id'>, more: Partial<Joint> = {}): Joint {
  return {
    seam: seam.id,
    kind: 'none',
    stays: 'glued',
    wallMm: 3,
    keys: [],
    reliefMm: 0,
    skinMm: null,
    play: null,
    aloneMm: null,
    why: null,
    ...more,
  };
}

export function plainJoints(pieces: PiecesRecord): JointsRecord {
  return {
    kind: 'joints',
    version: 1,
    pieces: pieces.pieces,
    joints: pieces.seams.map((seam) => plainJoint(seam)),
    loose: [],
    order: joinOrder(pieces.pieces, pieces.seams),
  };
}
