// The door of the Surface chapter: where layers, seams and support will show, and what filling, priming and sanding they take.
import { done, type Outcome } from '../../base/findings.ts';
import { invariant } from '../../base/invariant.ts';
import { partOfWork } from '../../base/work.ts';
import { FINISH_TOOLS } from '../facts/finishing.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { PrintingRecord } from '../process/printing-record.ts';
import type { ClassSurface, SeamSurface, SurfaceRecord } from '../process/surface-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import type { BenchHours } from './bench-days.ts';
import { dewPointC } from './dew-point.ts';
import { wetFilmUm } from './film.ts';
import { badSteps } from './grit-ladder.ts';
import { pieceSurface } from './piece-surface.ts';
import { roundsFor } from './rounds.ts';
import { surfaceFindings } from './surface-findings.ts';
import { surfaceReach } from './surface-reach.ts';
import type { SettledSurface, SurfaceSettings } from './surface-settings.ts';
import { surfaceWork } from './surface-work.ts';

export { SurfaceSettings } from './surface-settings.ts';

/** Classes, rounds, material and work of all that is seen. Space: each piece as it lies. Findings: LADDER_STEP_WIDE, SPRAY_DAY_UNFIT, WALL_SOFTENS, COATS_MUST_NOT_MEET. Cost: two passes a piece over its triangles and a sort,
 *  some 0.3 s a million, and for reach a tree of the shell and 1 to 2 s. Refuses nothing. Methods: docs/methods/layer-steps.md, layer-starts.md, finishing.md, disc-reach.md. */
export function computeSurface(
  inputs: {
    readonly wearer: WearerRecord;
    readonly pieces: PiecesRecord;
    readonly joints: JointsRecord;
    readonly printing: PrintingRecord;
  },
  settings: SettledSurface & { readonly layerMm: number; readonly hours: BenchHours },
  work: ChapterWork,
): Outcome<SurfaceRecord> {
  const { wearer, pieces, joints, printing } = inputs;
  const { primerSolids, primerDryUm } = settings.numbers;
  const laid = { layerMm: settings.layerMm, overhangLimitDeg: printing.overhangLimitDeg, seen: pieces.seen };
  const worn = { mesh: work.meshes.get(wearer.mesh), seen: pieces.seen };
  const reach = surfaceReach(worn, settings, partOfWork(work, 0, 0.6));
  const surfaces = joints.pieces.map((piece, index) => {
    const of = (done: number): number => 0.6 + (0.4 * done) / joints.pieces.length;
    const part = partOfWork(work, of(index), of(index + 1));
    part.tick(0, `looking at the outside of ${piece.id}`);
    const print = printing.prints.find((one) => one.piece === piece.id);
    invariant(print !== undefined, `piece ${piece.id} has a print`);
    return pieceSurface(piece, print, { ...laid, toolOf: reach.perTri }, { settings, work: part });
  });
  const areaMm2 = reachOf(surfaces.flatMap(({ classes }) => classes));
  const seams = seamSurfaces(pieces, joints, settings);
  const record: SurfaceRecord = {
    kind: 'surface',
    version: 1,
    layerMm: settings.layerMm,
    pieces: surfaces,
    seams,
    reach: { ...reach, areaMm2, pieces: surfaces.map(({ piece, classes }) => ({ piece, areaMm2: reachOf(classes) })) },
    ...surfaceWork({ pieces: surfaces, seams, reach: { areaMm2 } }, settings, settings.hours),
    otherFiller: otherFiller({ pieces: surfaces, seams, reach: { areaMm2 } }, settings),
    wideSteps: badSteps(settings.ladder, settings.numbers.widestStep),
    dewPointC: dewPointC(settings.airC, settings.humidityPercent),
    primerWetUm: settings.primerFrom === 'gun' ? wetFilmUm({ solidsPercent: primerSolids, dryUm: primerDryUm }) : null,
  };
  return done(record, surfaceFindings(record, settings));
}

/** Those that show and are glued for good: what is made to be taken apart is not filled. */
function seamSurfaces(
  { seams }: PiecesRecord,
  { joints }: JointsRecord,
  settings: SurfaceSettings,
): readonly SeamSurface[] {
  return seams.flatMap(({ id, outerMm }): readonly SeamSurface[] => {
    const joint = joints.find(({ seam }) => seam === id);
    if (outerMm <= 0 || joint?.stays === 'removable') return [];
    const play = joint?.play;
    const { misfitTimes } = settings.numbers;
    const worstMm = play?.printedMm ?? settings.plainStepMm;
    const stepMm = play ? play.nominalMm + misfitTimes * (play.printedMm - play.nominalMm) : settings.plainStepMm;
    const rounds = roundsFor(stepMm, settings.seams, settings);
    return [{ seam: id, lengthMm: outerMm, stepMm, worstMm, grooveMm: joint?.reliefMm ?? 0, rounds }];
  });
}

/** The same outside with the other filler on seams and marks of support. */
function otherFiller(
  { pieces, seams, reach }: Parameters<typeof surfaceWork>[0],
  settings: SurfaceSettings & { readonly hours: BenchHours },
): SurfaceRecord['otherFiller'] {
  const other = settings.seams === 'putty' ? 'filler' : 'putty';
  const by = { ...settings, seams: other } as const;
  const again = {
    pieces: pieces.map((piece) => ({
      ...piece,
      classes: piece.classes.map((one) =>
        one.of === 'scars' ? { ...one, rounds: roundsFor(one.needMm, other, by) } : one,
      ),
    })),
    seams: seams.map((seam) => ({ ...seam, rounds: roundsFor(seam.stepMm, other, by) })),
    reach,
  };
  const { rounds, totals, days } = surfaceWork(again, by, settings.hours);
  return { seams: other, rounds, handsOnS: totals.handsOnS, endDay: days.end };
}

function reachOf(classes: readonly ClassSurface[]): readonly number[] {
  return FINISH_TOOLS.map((_, tool) => classes.reduce((sum, { reachMm2 }) => sum + reachMm2[tool]!, 0));
}
