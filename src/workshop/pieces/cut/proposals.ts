// The three divisions that a maker may choose from, as the record tells them.
import type { PiecesRecord, Proposal, ProposalName } from '../../process/pieces-record.ts';
import { seamLines } from '../price/seam-lines.ts';
import type { SeamPrice } from '../price/seam-price.ts';
import { PROPOSAL_NAMES } from '../search/proposal-aims.ts';
import type { CarriedOut, Divided } from './divide-shell.ts';
import { seamFaces } from './seam-faces.ts';

/** Seams of all three in flat planes, so that they compare; bows come to the one that is chosen. Nothing where nothing was cut.
 *  Cost: faces and lines of each division that differs. */
export function proposalsOf(divided: Divided, chosen: ProposalName): Pick<PiecesRecord, 'proposal' | 'proposals'> {
  const { proposals, price } = divided;
  if (PROPOSAL_NAMES.every((name) => proposals[name].cuts.length === 0)) return { proposal: null, proposals: [] };
  const told: Proposal[] = [];
  for (const name of PROPOSAL_NAMES) {
    const first = told.find((known) => known.sameAs === null && proposals[known.name] === proposals[name]);
    told.push(first === undefined ? proposalOf(name, proposals[name], price) : { ...first, name, sameAs: first.name });
  }
  return { proposal: chosen, proposals: told };
}

function proposalOf(name: ProposalName, one: CarriedOut, price: SeamPrice): Proposal {
  const faces = seamFaces(one.parts, one.cuts, price.isOuter);
  const shown = seamLines(
    one.parts.map(({ part }, i) => ({ mesh: part.mesh, sourceTri: faces.sourceTri[i]! })),
    faces.seams,
    price,
  );
  return {
    name,
    sameAs: null,
    pieces: one.parts.length,
    costMm: shown.reduce((sum, seam) => sum + seam.costMm, 0),
    outerMm: shown.reduce((sum, seam) => sum + seam.outerMm, 0),
    supportG: one.supportG,
    printS: one.printS,
    longestPrintS: one.longestPrintS,
    seams: shown,
  };
}
