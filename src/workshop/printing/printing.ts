// The door of the Printing chapter: how each piece lies, how long it prints and what it weighs.
import { z } from 'zod';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { type AnyShare, runShares } from '../../base/shares.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import { PrintingMachine } from '../process/machine.ts';
import { PrintingMaterial } from '../process/material.ts';
import type { Piece } from '../process/pieces-record.ts';
import { PrintSettings } from '../process/print-settings.ts';
import type { Print, PrintingRecord, SplicesPrint } from '../process/printing-record.ts';
import { estimateOf, learntMachines, togetherOf } from './estimates.ts';
import { type LaidPiece, layPieceShare } from './lay-piece.ts';
import { measuredFindings } from './measured-findings.ts';
import { otherDivisions, printRisk } from './print-risk.ts';
import { printFindings, settingsFindings } from './printing-findings.ts';
import { splicesPrint } from './splices-print.ts';

export const PrintingSettings = z.strictObject({
  print: PrintSettings,
  machines: z.array(PrintingMachine).min(1),
  material: PrintingMaterial,
});
export type PrintingSettings = z.infer<typeof PrintingSettings>;

/** What of the chapter may run on other threads. */
export const PRINTING_SHARES: readonly AnyShare[] = [layPieceShare];

/** Lays, times and weighs every piece, and all splices together. Pieces in order; one print a piece; pieces side by side where there is a crew.
 *  Space of the prints: laid, mm. Cost: about 3 layer sweeps a piece; docs/methods/print-time.md has the seconds.
 *  Refuses: MESH_OPEN when a piece is not closed. */
export function computePrinting(
  inputs: { readonly joints: Pick<JointsRecord, 'pieces' | 'joints' | 'loose'> },
  settings: PrintingSettings,
  work: ChapterWork,
): Outcome<PrintingRecord> {
  const { pieces } = inputs.joints;
  const open = pieces.find((piece) => !piece.closed);
  if (open !== undefined)
    return refuse('MESH_OPEN', `Piece ${open.id} (${open.name}) is not closed, so it has no inside to print.`, {
      where: { path: `pieces.${open.id}` },
    });
  const findings = [...settingsFindings(settings), ...measuredFindings(settings.machines)];
  const prints: Print[] = [];
  for (const [i, laid] of laidPieces(pieces, settings, work).entries()) {
    const piece = pieces[i]!;
    prints.push(printOf(piece, laid, settings.print));
    findings.push(...printFindings(piece, work.meshes.get(piece.mesh), laid.chosen));
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

/** In the order of the pieces. */
function laidPieces(pieces: readonly Piece[], settings: PrintingSettings, work: ChapterWork): readonly LaidPiece[] {
  // the largest first: threads take them in turn
  const order = [...pieces.keys()].sort((a, b) => pieces[b]!.triangles - pieces[a]!.triangles || a - b);
  const inputs = order.map((i) => ({ mesh: work.meshes.get(pieces[i]!.mesh), poses: pieces[i]!.poses }));
  const laid = runShares(work, layPieceShare, settings, inputs);
  return pieces.map((_, i) => laid[order.indexOf(i)]!);
}

function printOf(piece: Piece, { chosen, toModel }: LaidPiece, print: PrintSettings): Print {
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
    on: chosen.on,
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
