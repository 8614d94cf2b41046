// The door of the Printing chapter: how each piece lies, how long it prints and what it weighs.
import { z } from 'zod';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { type AnyShare, runShares } from '../../base/shares.ts';
import { PosesChoices } from '../process/asked-poses.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import { protrudingKeys } from '../process/key-reach.ts';
import { PrintingMachine } from '../process/machine.ts';
import { PrintingMaterial } from '../process/material.ts';
import type { Piece, PiecesRecord } from '../process/pieces-record.ts';
import { PrintSettings } from '../process/print-settings.ts';
import type { Print, PrintingRecord, SplicesPrint } from '../process/printing-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import { askedOfPieces } from './asked-poses.ts';
import { estimateOf, learntMachines, togetherOf } from './estimates.ts';
import { type LaidPiece, layPieceShare, type PieceToLay } from './lay-piece.ts';
import { measuredFindings } from './measured-findings.ts';
import { otherDivisions, printRisk } from './print-risk.ts';
import { printFindings, settingsFindings } from './printing-findings.ts';
import { splicesPrint } from './splices-print.ts';
import { flatMatingFaces, surfaceKinds } from './surface-kinds.ts';

export const PrintingSettings = z.strictObject({
  print: PrintSettings,
  machines: z.array(PrintingMachine).min(1),
  material: PrintingMaterial,
  marginMm: z.number(),
  poses: PosesChoices,
});
export type PrintingSettings = z.infer<typeof PrintingSettings>;

/** What of the chapter may run on other threads. */
export const PRINTING_SHARES: readonly AnyShare[] = [layPieceShare];

export interface PrintingInputs {
  readonly wearer: Pick<WearerRecord, 'scale'>;
  readonly pieces: Pick<PiecesRecord, 'seams' | 'seen'>;
  readonly joints: Pick<JointsRecord, 'pieces' | 'joints' | 'loose'>;
}

/** Lays, times and weighs every piece, and all splices together. Pieces in order; one print a piece; pieces side by side where there is a crew.
 *  Space of the prints: laid, mm. Cost: some 4 layer sweeps a large piece; docs/methods/piece-poses.md has the seconds.
 *  Refuses: MESH_OPEN when a piece is not closed. Findings: those of a print, POSE_UNMET, POSE_ASTRAY, LAYER_ODD. */
export function computePrinting(
  inputs: PrintingInputs,
  settings: PrintingSettings,
  work: ChapterWork,
): Outcome<PrintingRecord> {
  const { pieces } = inputs.joints;
  const open = pieces.find((piece) => !piece.closed);
  if (open !== undefined)
    return refuse('MESH_OPEN', `Piece ${open.id} (${open.name}) is not closed, so it has no inside to print.`, {
      where: { path: `pieces.${open.id}` },
    });
  const asked = askedOfPieces(settings.poses.asked, pieces, { ...inputs.wearer, meshes: work.meshes });
  const findings = [...settingsFindings(settings), ...measuredFindings(settings.machines), ...asked.findings];
  const prints: Print[] = [];
  for (const [i, laid] of laidPieces(inputs, asked.wishes, settings, work).entries()) {
    const piece = pieces[i]!;
    prints.push(printOf(piece, laid, settings.print));
    findings.push(...laid.findings, ...printFindings(piece, work.meshes.get(piece.mesh), laid.chosen));
  }
  const splices = splicesPrint(inputs.joints, settings, work);
  return done(
    {
      kind: 'printing',
      version: 1,
      overhangLimitDeg: settings.print.overhangLimitDeg,
      prints,
      splices,
      ...otherDivisions(prints, settings.print),
      learnt: learntMachines(settings.machines),
      totals: { ...totalsOf(prints, splices), ...togetherOf(withSplices(prints, splices), settings.machines) },
    },
    findings,
  );
}

/** In the order of the pieces. `wishes`: per piece the place of the pose asked for, or null. */
function laidPieces(
  inputs: PrintingInputs,
  wishes: readonly (number | null)[],
  settings: PrintingSettings,
  work: ChapterWork,
): readonly LaidPiece[] {
  const { pieces } = inputs.joints;
  // the largest first: threads take them in turn
  const order = [...pieces.keys()].sort((a, b) => pieces[b]!.triangles - pieces[a]!.triangles || a - b);
  const toLay = order.map((i): PieceToLay => {
    const index = wishes[i]!;
    const asked = index === null ? null : { index, up: settings.poses.asked[index]!.up };
    return pieceToLay(pieces[i]!, inputs, asked, work);
  });
  const laid = runShares(work, layPieceShare, settings, toLay);
  return pieces.map((_, i) => laid[order.indexOf(i)]!);
}

function pieceToLay(
  piece: Piece,
  { pieces, joints }: PrintingInputs,
  asked: PieceToLay['asked'],
  work: ChapterWork,
): PieceToLay {
  const mesh = work.meshes.get(piece.mesh);
  return {
    id: piece.id,
    mark: piece.mark,
    mesh,
    hull: work.solid.hull(mesh.positions),
    kinds: surfaceKinds(piece, pieces),
    handed: piece.poses,
    matingFaces: flatMatingFaces(piece.id, pieces),
    keys: protrudingKeys(piece.id, joints.joints),
    asked,
  };
}

function printOf(piece: Piece, { chosen, on, toModel, poses, asked }: LaidPiece, print: PrintSettings): Print {
  const { pose, machine, time, material } = chosen;
  return {
    piece: piece.id,
    machine: machine.id,
    toModel,
    sizeMm: pose.sizeMm,
    lies: pose.lies,
    layers: chosen.numLayers,
    printS: time.printS,
    seconds: time.seconds,
    filamentG: material.filamentG,
    supportG: material.supportG,
    filamentM: material.filamentM,
    secondsByHeight: time.secondsByHeight,
    ...estimateOf(chosen),
    risk: printRisk({ printS: time.printS, ...material }, chosen.unsteady, print),
    unsteady: chosen.unsteady,
    on,
    poses,
    asked,
  };
}

function withSplices(prints: readonly Print[], splices: SplicesPrint | null): readonly (Print | SplicesPrint)[] {
  return splices === null ? prints : [...prints, splices];
}

function totalsOf(
  prints: readonly Print[],
  splices: SplicesPrint | null,
): Omit<PrintingRecord['totals'], 'plusMinusS' | 'plusMinusG'> {
  const all = withSplices(prints, splices);
  const sum = (of: (print: Print | SplicesPrint) => number): number =>
    all.reduce((total, print) => total + of(print), 0);
  return {
    printS: sum((print) => print.printS),
    filamentG: sum((print) => print.filamentG),
    supportG: sum((print) => print.supportG),
    filamentM: sum((print) => print.filamentM),
    expectedS: prints.reduce((total, { risk }) => total + risk.expectedS, splices?.printS ?? 0),
    lostG: prints.reduce((total, { risk }) => total + risk.lostG, 0),
  };
}
