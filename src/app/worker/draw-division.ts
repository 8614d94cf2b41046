// The drawing of a division: the whole shell from two sides with its seams, each with its name and drawn so that one sees what hides it.
import { partOfWork, type Work } from '../../base/work.ts';
import { type DrawingPart, lineDrawing } from '../../documents/drawing/line-drawing.ts';
import { svgOf } from '../../documents/drawing/svg.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { PiecesRecord, Proposal, ProposalName } from '../../workshop/process/pieces-record.ts';
import { STROKES } from './book-strokes.ts';
import { pennedRuns } from './seam-strokes.ts';

const PROPOSAL_TITLES: Readonly<Record<ProposalName, string>> = {
  fewest: 'the fewest pieces',
  hidden: 'the well hidden seams',
  quickest: 'the quickest prints',
};

const FROM_FRONT_LEFT: Vec3 = [-0.55, 0.75, -0.36];
const FROM_BACK_RIGHT: Vec3 = [0.55, -0.75, -0.36];

/** Two SVGs, one after the other at one scale, from the front left and from the back right: the page sets them side by side, or on a narrow
 *  screen one below the other, where their names can be read. Space of the mesh: that of the lines, worn. */
export function drawDivision(mesh: Mesh, proposal: Proposal, record: PiecesRecord, work: Work): string {
  const parts = [divisionPart(mesh, proposal, record)];
  const size = { widthMm: 92, maxHeightMm: 110, maxBytes: 90_000 };
  const front = lineDrawing(parts, { ...size, viewDir: FROM_FRONT_LEFT }, partOfWork(work, 0, 0.5));
  const beside = { ...size, viewDir: FROM_BACK_RIGHT, scale: front.scale };
  const back = lineDrawing(parts, beside, partOfWork(work, 0.5, 1));
  const title = `The division with ${PROPOSAL_TITLES[proposal.name]}, from its`;
  return (
    svgOf(front, { title: `${title} front left`, strokes: STROKES }) +
    svgOf(back, { title: `${title} back right`, strokes: STROKES })
  );
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
