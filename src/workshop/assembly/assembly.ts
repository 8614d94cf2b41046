// The door of the Assembly chapter: in which order all is joined, whether that can be done, and with how much glue.
import { done, type Finding, finding, type Outcome } from '../../base/findings.ts';
import { invariant } from '../../base/invariant.ts';
import { partOfWork } from '../../base/work.ts';
import type { AssembledJoin, AssemblyRecord, SeamGluing } from '../process/assembly-record.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { AssemblySettings } from './assembly-settings.ts';
import { assemblySteps, cureSeconds, groupName } from './assembly-steps.ts';
import { innerEdges, spreadPlaces } from './inner-edge.ts';
import { reachByJoin } from './inside-reach.ts';
import { bodiesOf, CONTACT_MM, pathMeetings } from './joining-paths.ts';
import { glueTimes, IN_REACH, seamGluing } from './seam-gluing.ts';

export { AssemblySettings } from './assembly-settings.ts';

/** Replays the joins in their order with the keyed pieces, finds which seams a hand still reaches when, and reckons glue and work.
 *  Space: worn, mm. Findings: ASSEMBLY_BLOCKED, BEAD_OUT_OF_REACH, GLUE_TIME_SHORT. Cost: about a second a join with pieces of 200,000
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
  const meets = joints.order.map((join, index) =>
    pathMeetings(join, bodies, partOfWork(work, (0.5 * index) / numJoins, (0.5 * (index + 1)) / numJoins)),
  );
  const [longMm, thinMm] = [Math.max(...settings.handMm), Math.min(...settings.handMm)];
  const seamIds = pieces.seams.map(({ id }) => id);
  const reach = reachByJoin(
    joints.order,
    bodies,
    { ids: seamIds, edges },
    { hand: { longMm, thinMm }, work: partOfWork(work, 0.5, 1) },
  );
  const joins = joints.order.map(
    (join, index): AssembledJoin => ({ ...join, meets: meets[index]!, reach: reach[index]! }),
  );
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
  return done(record, [
    ...blockedFindings(joins),
    ...reachFindings(record, settings),
    ...timeFindings(seams, settings),
  ]);
}

function totalsOf(
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

function blockedFindings(joins: readonly AssembledJoin[]): Finding[] {
  return joins.flatMap((join) =>
    join.meets.map(({ moving, fixed, depthMm, atMm, beforeMm }) =>
      finding(
        'ASSEMBLY_BLOCKED',
        `When ${groupName(join.moving)} closes onto ${groupName(join.onto)}, ${moving} meets ${fixed} ${beforeMm.toFixed(1)} mm before it is home and would press ${depthMm.toFixed(2)} mm into it; ${CONTACT_MM} mm pass. Give the joint more clearance, other keys, or none.`,
        {
          where: { path: `assembly.${join.seams[0] ?? ''}`, space: 'worn', atMm, piece: fixed },
          measured: depthMm,
          limit: CONTACT_MM,
          unit: 'mm',
        },
      ),
    ),
  );
}

/** Seams that were to get a bead, of which no hand ever reaches most: one finding for all, at the one least in reach. */
function reachFindings({ joins, seams }: AssemblyRecord, settings: AssemblySettings): Finding[] {
  if (!settings.bead) return [];
  const short = seams.flatMap(({ seam, stays }) => {
    const shares = joins.flatMap(({ reach }) => reach.filter((one) => one.seam === seam).map(({ share }) => share));
    const best = Math.max(...shares);
    return stays !== 'glued' || shares.length === 0 || best >= IN_REACH ? [] : [{ seam, best }];
  });
  if (short.length === 0) return [];
  const least = short.reduce((one, other) => (other.best < one.best ? other : one));
  const told = short.map(({ seam, best }) => `${Math.round(100 * best)} percent of ${seam}`).join(', ');
  return [
    finding(
      'BEAD_OUT_OF_REACH',
      `From inside, a hand of ${settings.handMm[0]} by ${settings.handMm[1]} mm reaches ${told}. The bead ends there; keys and drops hold the rest.`,
      { where: { path: `assembly.${least.seam}` }, measured: least.best, limit: IN_REACH },
    ),
  ];
}

function timeFindings(seams: readonly SeamGluing[], settings: AssemblySettings): Finding[] {
  const { openS } = glueTimes(settings);
  return seams.flatMap(({ seam, laid, drops, layS }) => {
    if (laid !== 'face' || layS <= openS) return [];
    return [
      finding(
        'GLUE_TIME_SHORT',
        `The ${drops} drops of ${seam} go onto its open face, because no hand gets inside once it is closed; laying them takes ${Math.round(layS)} s, and the first ones set after ${Math.round(openS)}. Space them wider, or take a slower grade.`,
        { where: { path: `assembly.${seam}` }, measured: layS, limit: openS, unit: 's' },
      ),
    ];
  });
}
