// The drawing of a division: the whole shell from two sides with its seams, each with its name and drawn so that one sees what hides it.
import type { Work } from '../../base/work.ts';
import type { DrawingPart } from '../../documents/drawing/line-drawing.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { PiecesRecord, Proposal, ProposalName } from '../../workshop/process/pieces-record.ts';
import { pennedRuns } from './seam-strokes.ts';
import { twoSides } from './two-sides.ts';

const PROPOSAL_TITLES: Readonly<Record<ProposalName, string>> = {
  fewest: 'the fewest pieces',
  hidden: 'the well hidden seams',
  quickest: 'the quickest prints',
};

/** From two sides, see twoSides. Space of the mesh: that of the lines, worn. */
export function drawDivision(mesh: Mesh, proposal: Proposal, record: PiecesRecord, work: Work): string {
  const parts = [divisionPart(mesh, proposal, record)];
  return twoSides(parts, `The division with ${PROPOSAL_TITLES[proposal.name]}, from its`, work);
}

/** The shell with the lines of a division: named as its seams where it is the one that is made, else numbered. */
function divisionPart(mesh: Mesh, proposal: Proposal, record: PiecesRecord): DrawingPart {
  const same = record.proposals.find(({ name }) => name === record.proposal)?.sameAs ?? record.proposal;
  const seams =
    proposal.name === same ? record.seams : proposal.seams.map((seam, index) => ({ ...seam, id: String(index + 1) }));
  const named = seams.flatMap(({ id, lines }) => lines.map((line) => ({ line, name: id })));
  return {
    id: 'shell',
    mesh,
    weighted: named.flatMap(({ line, name }) => pennedRuns(line).map((run) => ({ ...run, name }))),
  };
}
