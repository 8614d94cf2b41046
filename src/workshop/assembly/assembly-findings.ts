// What is to be looked at before anything is glued: joins that do not close, beads and drops that cannot be laid, joints that will not open again.
import { type Finding, finding } from '../../base/findings.ts';
import { listed } from '../../base/listed.ts';
import {
  type AssembledJoin,
  type AssemblyRecord,
  IN_REACH,
  type PathMeeting,
  type SeamGluing,
} from '../process/assembly-record.ts';
import { joinGluing } from '../process/join-gluing.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { AssemblySettings } from './assembly-settings.ts';
import { groupName } from './assembly-steps.ts';
import { heldShut } from './held-shut.ts';
import { CONTACT_MM } from './joining-paths.ts';
import { glueTimes } from './seam-gluing.ts';

export function assemblyFindings(
  { joins, seams }: Pick<AssemblyRecord, 'joins' | 'seams'>,
  pieces: PiecesRecord,
  settings: AssemblySettings,
): Finding[] {
  return [
    ...blockedFindings(joins),
    ...reachFindings(joins, seams, settings),
    ...timeFindings(joins, seams, settings),
    ...shutFindings(seams, pieces),
  ];
}

function blockedFindings(joins: readonly AssembledJoin[]): Finding[] {
  return joins.flatMap((join) =>
    join.meets.map(({ moving, fixed, depthMm, atMm, beforeMm }) =>
      finding('ASSEMBLY_BLOCKED', blockedWords(join, { moving, fixed, depthMm, beforeMm }), {
        where: { path: `assembly.${join.seams[0] ?? ''}`, space: 'worn', atMm, piece: fixed },
        measured: depthMm,
        limit: CONTACT_MM,
        unit: 'mm',
      }),
    ),
  );
}

/** Far from home it is not keys that meet but pieces. */
const FAR_MM = 40;

function blockedWords(
  { moving: group, onto }: AssembledJoin,
  { moving, fixed, depthMm, beforeMm }: Pick<PathMeeting, 'moving' | 'fixed' | 'depthMm' | 'beforeMm'>,
): string {
  const meets = `When ${groupName(group)} closes onto ${groupName(onto)}, ${moving} meets ${fixed} ${beforeMm.toFixed(1)} mm before it is home and would press ${depthMm.toFixed(2)} mm into it; ${CONTACT_MM} mm pass.`;
  return beforeMm > FAR_MM
    ? `${meets} ${fixed} stands in its straight way, whichever comes first: turn ${groupName(group)} in past it, or ask for another seam there.`
    : `${meets} Give the joint more clearance, other keys, or none.`;
}

/** Seams that were to get a bead, of which no hand ever reaches most: one finding for all, at the one least in reach. */
function reachFindings(
  joins: readonly AssembledJoin[],
  seams: readonly SeamGluing[],
  settings: AssemblySettings,
): Finding[] {
  if (!settings.bead) return [];
  const short = seams.flatMap(({ seam, stays }) => {
    const shares = joins.flatMap(({ reach }) => reach.filter((one) => one.seam === seam).map(({ share }) => share));
    const best = Math.max(...shares);
    return stays !== 'glued' || shares.length === 0 || best >= IN_REACH ? [] : [{ seam, best }];
  });
  if (short.length === 0) return [];
  const least = short.reduce((one, other) => (other.best < one.best ? other : one));
  const told = short.map(({ seam, best }) => `${Math.round(100 * best)} percent of ${seam}`);
  return [
    finding(
      'BEAD_OUT_OF_REACH',
      `From inside, a hand of ${settings.handMm[0]} by ${settings.handMm[1]} mm reaches ${listed(told)}. The bead ends there; keys and drops hold the rest.`,
      { where: { path: `assembly.${least.seam}` }, measured: least.best, limit: IN_REACH },
    ),
  ];
}

/** Drops on all open faces of a join have to lie before it closes. */
function timeFindings(
  joins: readonly AssembledJoin[],
  seams: readonly SeamGluing[],
  settings: AssemblySettings,
): Finding[] {
  const { openS } = glueTimes(settings);
  return joins.flatMap((join) => {
    const { faceDrops, faceLayS } = joinGluing(join, seams);
    if (faceLayS <= openS) return [];
    const open = seams.filter(({ seam, faceDrops: on }) => join.seams.includes(seam) && on > 0);
    const apart = Math.ceil((settings.dropSpacingMm * faceLayS) / openS);
    return [
      finding(
        'GLUE_TIME_SHORT',
        `Before ${groupName(join.moving)} closes, ${faceDrops} drops go onto the open faces of ${listed(open.map(({ seam }) => seam))}, because no hand reaches that part of the line afterwards; laying them takes ${Math.round(faceLayS)} s, and the first ones set after ${Math.round(openS)}. A drop every ${apart} mm would do, or a grade that stays open longer.`,
        { where: { path: `assembly.${open[0]!.seam}` }, measured: faceLayS, limit: openS, unit: 's' },
      ),
    ];
  });
}

/** Joints that are made to come apart between pieces that glue holds together another way. */
function shutFindings(seams: readonly SeamGluing[], pieces: PiecesRecord): Finding[] {
  return heldShut(seams, pieces).map(({ seam, by }) =>
    finding(
      'JOINT_HELD_SHUT',
      `${seam} is made to come apart, but ${listed(by)} ${by.length === 1 ? 'is' : 'are'} glued and ${by.length === 1 ? 'holds' : 'hold'} the same pieces together: it will not open. Ask the same of ${by.length === 1 ? 'it' : 'these, as far as they are to open with it'}.`,
      { where: { path: `assembly.${seam}` } },
    ),
  );
}
