// The door of the chapter Pieces: where the seams are, and how each piece may lie on a machine.
import { done, type Finding, finding, type Outcome, refuse } from '../../base/findings.ts';
import type { AnyShare } from '../../base/shares.ts';
import { partOfWork } from '../../base/work.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { middlePoint } from '../../mesh/middle-point.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { Piece, PiecesRecord, ProposalName, Seam } from '../process/pieces-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import { type AskedAtSize, askedAtSize } from './asked/asked-at-size.ts';
import { askedSeamOf, machinesIn, markOf } from './asked/asked-record.ts';
import { divideBodies } from './cut/divide-bodies.ts';
import type { Divided } from './cut/divide-shell.ts';
import type { CutPart } from './cut/exact-division.ts';
import { neededBounds } from './cut/needed-bounds.ts';
import { type PieceMeasures, pieceMeasures } from './cut/piece-measures.ts';
import { listingOrder, pieceLetter, pieceNames, type ShellBox } from './cut/piece-names.ts';
import { proposalsOf } from './cut/proposals.ts';
import { seamFaces } from './cut/seam-faces.ts';
import type { PiecesSettings } from './pieces-settings.ts';
import { exposureShare } from './price/sample-exposure.ts';
import { seamLines } from './price/seam-lines.ts';
import { surfaceShare } from './price/shell-surface.ts';
import { CRUMB_SHARE } from './search/cut-costs.ts';
import { searchShare, settleShare } from './search/search-shares.ts';

export { computeJoints } from './joints/joints.ts';
export { JointsChoices } from './joints/joints-settings.ts';
export { PiecesChoices, PiecesSettings } from './pieces-settings.ts';
export { recordPrice } from './price/record-price.ts';

/** What of the chapter may run on other threads. */
export const PIECES_SHARES: readonly AnyShare[] = [surfaceShare, exposureShare, searchShare, settleShare];

/** Divides the worn shell so that every piece fits one of the beds, less the margin, in a pose it can decently be printed in.
 *  A shell that fits whole stays whole. Space: model, at worn size. Same inputs and seed give the same bytes.
 *  Cost: search under 5 s, cuts O(n) each; docs/methods/division-search.md. Refuses: PIECES_BED_TOO_SMALL, PIECES_TOO_MANY, and
 *  what exact cuts refuse (MESH_OPEN, SOLID_FAILED). */
export function computePieces(
  inputs: { readonly wearer: WearerRecord },
  settings: PiecesSettings,
  work: ChapterWork,
): Outcome<PiecesRecord> {
  const shell = work.meshes.get(inputs.wearer.mesh);
  const small = settings.beds.every((bed) =>
    usable(bed.bedMm, settings.marginMm).some((side) => side < LEAST_USABLE_MM),
  );
  if (small) {
    return refuse(
      'PIECES_BED_TOO_SMALL',
      `Less its margin of ${settings.marginMm} mm no bed leaves ${LEAST_USABLE_MM} mm on every side; the largest is ${settings.beds[0]!.bedMm.join(' x ')} mm.`,
    );
  }
  const asked = askedAtSize(settings.asked, shell, { scale: inputs.wearer.scale, beds: settings.beds });
  if (!asked.ok) return asked;
  const demanding = { ...settings, demands: asked.value, scale: inputs.wearer.scale };
  const divided = divideBodies(shell, inputs.wearer.symmetry, demanding, partOfWork(work, 0, 0.9));
  if (!divided.ok) return divided;
  const record = recordOf(divided.value, { shell, asked: asked.value, chosen: settings.proposal }, work);
  return done(record, [...asked.findings, ...smallFindings(record, work)]);
}

/** Pieces that a person would rather leave on a neighbour: of a model of many small parts some are cut off whatever one does. */
function smallFindings({ pieces }: PiecesRecord, { meshes }: ChapterWork): readonly Finding[] {
  const volumes = pieces.map(({ volumeMm3 }) => volumeMm3);
  const limit = (CRUMB_SHARE * volumes.reduce((sum, v) => sum + v, 0)) / volumes.length;
  const small = pieces.filter(({ volumeMm3 }) => volumeMm3 < limit);
  if (small.length === 0) return [];
  const least = small.reduce((one, other) => (other.volumeMm3 < one.volumeMm3 ? other : one));
  const atMm = middlePoint(meshes.get(least.mesh));
  const ids = small.map(({ id }) => id).join(', ');
  const say = `${small.length === 1 ? `Piece ${ids} has` : `Pieces ${ids} have`} less than ${(limit / 1000).toFixed(1)} cm3, a hundredth of the middle piece: worth a look whether ${small.length === 1 ? 'it is' : 'they are'} needed.`;
  return [
    finding('PIECES_SMALL', say, {
      where: { path: 'pieces', space: 'worn', atMm, piece: least.id },
      measured: least.volumeMm3,
      limit,
      unit: 'mm3',
    }),
  ];
}

const LEAST_USABLE_MM = 20;

function usable(bedMm: Vec3, marginMm: number): Vec3 {
  return [bedMm[0] - 2 * marginMm, bedMm[1] - 2 * marginMm, bedMm[2] - marginMm];
}

function recordOf(
  divided: Divided,
  { shell, asked, chosen }: { readonly shell: Mesh; readonly asked: AskedAtSize; readonly chosen: ProposalName },
  work: ChapterWork,
): PiecesRecord {
  const measures = divided.parts.map((one) => pieceMeasures(one.part.mesh));
  const box = boxOf(shell);
  const order = listingOrder(measures, box);
  const parts = order.map((i) => divided.parts[i]!);
  const sorted = order.map((i) => measures[i]!);
  const names = pieceNames(sorted, box);
  const faces = seamFaces(parts, divided.cuts, divided.price.isOuter);
  const shown = seamLines(
    parts.map(({ part }, i) => ({ mesh: part.mesh, sourceTri: faces.sourceTri[i]! })),
    faces.seams,
    divided.price,
  );
  const pieces = parts.map((one, i) =>
    pieceOf(one, sorted[i]!, {
      id: pieceLetter(i),
      name: names[i]!,
      sourceTri: faces.sourceTri[i]!,
      poses: divided.poses[order[i]!]!,
      mesh: work.meshes.put(one.part.mesh),
      mark: markOf(one.part.mesh, faces.sourceTri[i]!, divided.price.isOuter),
      asked: machinesIn(one, divided.cuts, asked.machines)[0]?.index ?? null,
    }),
  );
  const seams = faces.seams.map(
    (face, index): Omit<Seam, 'id'> => ({
      pieces: [pieceLetter(face.below), pieceLetter(face.above)],
      plane: face.plane,
      cut: face.cut,
      asked: askedSeamOf(face.plane, asked.seams),
      within: neededBounds(parts, divided.cuts, face).map((cut) => divided.cuts[cut]!.asked),
      bowMm: face.bowMm,
      ...shown[index]!,
      innerMm: face.innerMm,
      areaMm2: face.areaMm2,
      outlines: face.outlines,
    }),
  );
  return {
    kind: 'pieces',
    version: 3,
    pieces,
    seams: withIds(seams),
    ...proposalsOf(divided, chosen),
    // 0 is the inside: what is outside and never looked at has the least step
    seen: Uint8Array.from(divided.price.seen, (share, tri) =>
      divided.price.isOuter[tri] === 1 ? Math.max(1, Math.round(255 * share)) : 0,
    ),
    search: divided.search,
  };
}

function pieceOf(
  one: Pick<CutPart, 'part'>,
  measures: PieceMeasures,
  about: Pick<Piece, 'id' | 'name' | 'sourceTri' | 'poses' | 'mesh' | 'mark' | 'asked'>,
): Piece {
  return {
    ...about,
    triangles: one.part.sourceTri.length,
    closed: true,
    volumeMm3: measures.volumeMm3,
    areaMm2: measures.areaMm2,
    sizeMm: measures.sizeMm,
  };
}

/** "A-B"; a second face between the same two pieces is "A-B.2". */
function withIds(seams: readonly Omit<Seam, 'id'>[]): Seam[] {
  const count = new Map<string, number>();
  return seams.map((seam) => {
    const pair = [...seam.pieces].sort((a, b) => a.length - b.length || (a < b ? -1 : 1)).join('-');
    const n = (count.get(pair) ?? 0) + 1;
    count.set(pair, n);
    return { id: n === 1 ? pair : `${pair}.${n}`, ...seam };
  });
}

function boxOf(mesh: Mesh): ShellBox {
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  const p = mesh.positions;
  for (let i = 0; i < p.length; i += 3) {
    for (const c of [0, 1, 2] as const) {
      if (p[i + c]! < low[c]) low[c] = p[i + c]!;
      if (p[i + c]! > high[c]) high[c] = p[i + c]!;
    }
  }
  return { minMm: low, maxMm: high };
}
