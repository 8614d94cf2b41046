// The door of the Assembly chapter: in which order all is joined, whether that can be done, and with how much glue.
import { done, type Outcome } from '../../base/findings.ts';
import { invariant } from '../../base/invariant.ts';
import { partOfWork } from '../../base/work.ts';
import type { AssembledJoin, AssemblyRecord, PathMeeting, SeamGluing } from '../process/assembly-record.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { Join, JointsRecord } from '../process/joints-record.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import { assemblyFindings } from './assembly-findings.ts';
import type { AssemblySettings } from './assembly-settings.ts';
import { assemblySteps, cureSeconds } from './assembly-steps.ts';
import { freeOrder } from './free-order.ts';
import { innerEdges, spreadPlaces } from './inner-edge.ts';
import { reachByJoin } from './inside-reach.ts';
import { bodiesOf, pathMeetings } from './joining-paths.ts';
import { seamGluing } from './seam-gluing.ts';

export { AssemblySettings } from './assembly-settings.ts';

/** Replays the joins in their order with the keyed pieces, finds which seams a hand still reaches when, and reckons glue and work.
 *  Space: worn, mm. Findings: ASSEMBLY_BLOCKED, BEAD_OUT_OF_REACH, GLUE_TIME_SHORT,
 *  JOINT_HELD_SHUT. Cost: about a second a join with pieces of 200,000
 *  triangles; docs/methods/assembly-order.md and glue.md. Refuses nothing. */
export function computeAssembly(
  inputs: { readonly pieces: PiecesRecord; readonly joints: JointsRecord },
  settings: AssemblySettings,
  work: ChapterWork,
): Outcome<AssemblyRecord> {
  const { pieces, joints } = inputs;
  const bodies = bodiesOf(joints, work);
  const edges = innerEdges(pieces, work.meshes);
  const numJoins = joints.order.length;
  let replayed = 0;
  const replayWork = partOfWork(work, 0, 0.5);
  const replay = (join: Join): readonly PathMeeting[] => {
    const [from, to] = [replayed, replayed + 1].map((num) => Math.min(1, num / numJoins)) as [number, number];
    replayed++;
    return pathMeetings(join, bodies, partOfWork(replayWork, from, to));
  };
  const order = freeOrder(joints.order, pieces.seams, replay);
  const [longMm, thinMm] = [Math.max(...settings.handMm), Math.min(...settings.handMm)];
  const seamIds = pieces.seams.map(({ id }) => id);
  const reach = reachByJoin(
    order.map(({ join }) => join),
    bodies,
    { ids: seamIds, edges },
    { hand: { longMm, thinMm }, work: partOfWork(work, 0.5, 1) },
  );
  const joins = order.map(({ join, meets }, index): AssembledJoin => ({ ...join, meets, reach: reach[index]! }));
  const seams = pieces.seams.map((seam, index) => {
    const joint = joints.joints.find((one) => one.seam === seam.id);
    invariant(joint !== undefined, `seam ${seam.id} has a joint`);
    return seamGluing(seam, joint, { joins, settings, spread: (num) => spreadPlaces(edges[index]!, num) });
  });
  const steps = assemblySteps({ joins, seams, pieces, record: joints, settings });
  const record: AssemblyRecord = {
    kind: 'assembly',
    version: 1,
    joins,
    seams,
    steps,
    totals: totalsOf(seams, steps, settings),
  };
  return done(record, assemblyFindings(record, pieces, settings));
}

/** What all seams and steps come to. */
export function totalsOf(
  seams: readonly SeamGluing[],
  steps: AssemblyRecord['steps'],
  settings: AssemblySettings,
): AssemblyRecord['totals'] {
  const sum = (of: (seam: SeamGluing) => number): number => seams.reduce((total, seam) => total + of(seam), 0);
  return {
    drops: sum(({ drops }) => drops),
    dropsG: sum(({ dropsG }) => dropsG),
    beadMm: sum(({ bead }) => bead?.lengthMm ?? 0),
    beadG: sum(({ bead }) => bead?.grams ?? 0),
    handsOnS: steps.reduce((total, { handsOnS }) => total + handsOnS, 0),
    cureS: cureSeconds(seams, settings),
  };
}
