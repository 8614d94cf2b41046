// A thread of the engine's crew: takes shares of what the engine thread computes.
import { SHARES } from '../../workshop/book/shares.ts';
import { lendHand } from './crew-hand.ts';

lendHand(SHARES);
