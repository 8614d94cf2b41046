// The pieces as they are printed and shown: with their keys as soon as these are known.
import type { Piece } from '../process/pieces-record.ts';
import type { BookResults } from './graph.ts';

/** Null while there are none. */
export function builtPieces({ pieces, joints }: Pick<BookResults, 'pieces' | 'joints'>): readonly Piece[] | null {
  if (joints.state === 'computed') return joints.record.pieces;
  return pieces.state === 'computed' ? pieces.record.pieces : null;
}
