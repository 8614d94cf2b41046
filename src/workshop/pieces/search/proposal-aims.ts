// What each of the three proposals puts first: the maker's weights with some of them raised and others lowered.
import type { ProposalName } from '../../process/pieces-record.ts';
import type { DivisionWeights } from '../pieces-settings.ts';

export const PROPOSAL_NAMES: readonly ProposalName[] = ['fewest', 'hidden', 'quickest'];

type Factors = { readonly [name in keyof DivisionWeights]?: number };

const FACTORS: Readonly<Record<ProposalName, Factors>> = {
  // pieces and seams are what takes the hands, and count twice beside symmetry and the machine's hours
  fewest: { piece: 2, seam: 2 },
  // what is seen counts three times; a piece more and a lopsided pattern are borne where that hides a seam
  hidden: { seam: 3, piece: 0.25, lopsided: 0.25 },
  // the machine's hour counts like that of the hands: support and long prints that may fail are dear, pieces and seams half as dear
  quickest: { hour: 10, piece: 0.5, seam: 0.5, lopsided: 0.5 },
};

export function weightsFor(name: ProposalName, weights: DivisionWeights): DivisionWeights {
  const factors = FACTORS[name];
  return {
    ...weights,
    piece: weights.piece * (factors.piece ?? 1),
    seam: weights.seam * (factors.seam ?? 1),
    lopsided: weights.lopsided * (factors.lopsided ?? 1),
    hour: weights.hour * (factors.hour ?? 1),
  };
}
