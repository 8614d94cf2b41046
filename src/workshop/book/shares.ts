// Every share of every chapter, by which a thread of the crew finds what it is asked to run.
import type { AnyShare } from '../../base/shares.ts';
import { PIECES_SHARES } from '../pieces/pieces.ts';
import { PRINTING_SHARES } from '../printing/printing.ts';

export const SHARES: readonly AnyShare[] = [...PIECES_SHARES, ...PRINTING_SHARES];
