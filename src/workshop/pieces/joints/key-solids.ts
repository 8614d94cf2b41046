// What a key adds to the two pieces of its seam and cuts from them, and where the two then meet.
import type { Contacts } from '../../../geometry/contact-play.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import type { Key } from '../../process/joints-record.ts';

/** Closed solids, model space, worn. Cuts are taken after all additions of the piece's own keys have been made, so that a key never closes
 *  what another opened. */
export interface PieceChange {
  readonly add: readonly Mesh[];
  readonly cut: readonly Mesh[];
}

export interface KeySolids {
  readonly key: Key;
  readonly carrier: PieceChange;
  readonly receiver: PieceChange;
  /** A splice strip, or a rod; null for keys that are grown on a piece. */
  readonly loose: Mesh | null;
  /** The carrier moves, the receiver is fixed; gaps as drawn, through a loose part those of both its seats together. */
  readonly contacts: Contacts;
}
