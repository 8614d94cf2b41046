// The door of the Printing chapter: how each piece lies, how long it prints and what it weighs.
import { z } from 'zod';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import { PrintingMachine } from '../process/machine.ts';
import { PrintingMaterial } from '../process/material.ts';
import type { Piece } from '../process/pieces-record.ts';
import { PrintSettings } from '../process/print-settings.ts';
import type { Print, PrintingRecord, SplicesPrint } from '../process/printing-record.ts';
import { soundPlace } from '../process/written-piece.ts';
import { type ChosenPrint, choosePose } from './pose-choice.ts';
import { otherDivisions, printRisk } from './print-risk.ts';
import { printFindings, settingsFindings } from './printing-findings.ts';
import { splicesPrint } from './splices-print.ts';

export const PrintingSettings = z.strictObject({
  print: PrintSettings,
  machines: z.array(PrintingMachine).min(1),
  material: PrintingMaterial,
});
export type PrintingSettings = z.infer<typeof PrintingSettings>;

/** Lays, times and weighs every piece, and all splices together. Pieces in order; one print a piece.
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
  const findings = settingsFindings(settings);
  const prints: Print[] = [];
  const whole = pieces.reduce((sum, piece) => sum + piece.triangles, 0);
  let before = 0;
  for (const piece of pieces) {
    const share = partOfWork(work, before / whole, (before + piece.triangles) / whole);
    before += piece.triangles;
    const mesh = work.meshes.get(piece.mesh);
    const chosen = choosePose(mesh, piece.poses, settings, share);
    prints.push(printOf(piece, mesh, chosen, settings.print));
    findings.push(...printFindings(piece, mesh, chosen));
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
      totals: totalsOf(prints, splices),
    },
    findings,
  );
}

function printOf(piece: Piece, mesh: Mesh, chosen: ChosenPrint, print: PrintSettings): Print {
  const { pose, machine, time, material } = chosen;
  return {
    piece: piece.id,
    machine: machine.id,
    toModel: soundPlace(mesh, pose.toLaid),
    sizeMm: pose.sizeMm,
    lies: pose.lies,
    layers: chosen.numLayers,
    printS: time.printS,
    seconds: time.seconds,
    filamentG: material.filamentG,
    supportG: material.supportG,
    filamentM: material.filamentM,
    secondsByHeight: time.secondsByHeight,
    risk: printRisk({ printS: time.printS, ...material }, chosen.unsteady, print),
    on: chosen.on,
  };
}

function totalsOf(prints: readonly Print[], splices: SplicesPrint | null): PrintingRecord['totals'] {
  const all = splices === null ? prints : [...prints, splices];
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
