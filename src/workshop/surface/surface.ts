// The door of the Surface chapter: where layers, seams and support will show, and what filling, priming and sanding they take.
import { done, type Outcome } from '../../base/findings.ts';
import { invariant } from '../../base/invariant.ts';
import { partOfWork } from '../../base/work.ts';
import { GUN_PRIMER } from '../facts/finishing.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { PrintingRecord } from '../process/printing-record.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import { dewPointC } from './dew-point.ts';
import { wetFilmUm } from './film.ts';
import { badSteps } from './grit-ladder.ts';
import { pieceSurface } from './piece-surface.ts';
import { roundsFor } from './rounds.ts';
import { surfaceFindings } from './surface-findings.ts';
import { surfaceReach } from './surface-reach.ts';
import type { SurfaceSettings } from './surface-settings.ts';
import { surfaceWork } from './surface-work.ts';

export { SurfaceSettings } from './surface-settings.ts';

/** Classes, rounds, material and work of all that is seen. Space: each piece as it lies. Findings: LADDER_STEP_WIDE, SPRAY_DAY_UNFIT, WALL_SOFTENS. Cost: two passes a piece over its triangles and a sort,
 *  some 0.3 s a million, and for reach a tree of the shell and 1 to 2 s. Refuses nothing. Methods: docs/methods/layer-steps.md, layer-starts.md, finishing.md, disc-reach.md. */
export function computeSurface(
  inputs: {
    readonly wearer: WearerRecord;
    readonly pieces: PiecesRecord;
    readonly joints: JointsRecord;
    readonly printing: PrintingRecord;
  },
  settings: SurfaceSettings & { readonly layerMm: number },
  work: ChapterWork,
): Outcome<SurfaceRecord> {
  const { wearer, pieces, joints, printing } = inputs;
  const laid = { layerMm: settings.layerMm, overhangLimitDeg: printing.overhangLimitDeg, seen: pieces.seen };
  const surfaces = joints.pieces.map((piece, index) => {
    const part = partOfWork(work, (0.4 * index) / joints.pieces.length, (0.4 * (index + 1)) / joints.pieces.length);
    part.tick(0, `looking at the outside of ${piece.id}`);
    const print = printing.prints.find((one) => one.piece === piece.id);
    invariant(print !== undefined, `piece ${piece.id} has a print`);
    return pieceSurface(piece, print, laid, { settings, work: part });
  });
  const worn = { mesh: work.meshes.get(wearer.mesh), seen: pieces.seen, pieces: joints.pieces };
  const reach = surfaceReach(worn, settings, partOfWork(work, 0.4, 1));
  const seams = pieces.seams
    .filter(({ outerMm }) => outerMm > 0)
    .map(({ id, outerMm }) => {
      const stepMm = joints.joints.find(({ seam }) => seam === id)?.play?.printedMm ?? settings.plainStepMm;
      return { seam: id, lengthMm: outerMm, stepMm, rounds: roundsFor(stepMm, settings.seams, settings) };
    });
  const record: SurfaceRecord = {
    kind: 'surface',
    version: 1,
    layerMm: settings.layerMm,
    pieces: surfaces,
    seams,
    reach,
    ...surfaceWork({ pieces: surfaces, seams, reach }, settings),
    wideSteps: badSteps(settings.ladder),
    dewPointC: dewPointC(settings.airC, settings.humidityPercent),
    primerWetUm: settings.primerFrom === 'gun' ? wetFilmUm(GUN_PRIMER) : null,
  };
  return done(record, surfaceFindings(record, settings));
}
