// What is to be looked at in the joints of a division: seams without keys, seams whose keys leave them loose, wishes that were not met.
import { type Finding, finding, type Where } from '../../../base/findings.ts';
import { listed } from '../../../base/listed.ts';
import { type Joint, type JointKind, LOOSE_MM, TRUE_MM } from '../../process/joints-record.ts';
import type { Seam } from '../../process/pieces-record.ts';

/** One finding of a kind, with all of its seams, at the worst of them. `asked`: per seam, null where the wall decides. */
export function jointFindings(
  joints: readonly Joint[],
  seams: readonly Seam[],
  asked: readonly (JointKind | null)[],
): Finding[] {
  const at = (joint: Joint): Where => ({
    path: `joints.${joint.seam}`,
    space: 'worn',
    atMm: placeOn(seams[joints.indexOf(joint)]!),
  });
  const wanted = (joint: Joint): JointKind | null => asked[joints.indexOf(joint)] ?? null;
  const unmet = joints.filter((joint) => wanted(joint) !== null && wanted(joint) !== joint.kind);
  return [
    ...unmet.map((joint) =>
      finding('JOINT_UNMET', `${joint.seam}: ${sentence(joint.why ?? '')}`, { where: at(joint) }),
    ),
    ...bareFinding(
      joints.filter((joint) => joint.kind === 'none' && wanted(joint) === null),
      at,
    ),
    ...looseFinding(joints, at),
  ];
}

/** Why a seam has another kind of joint than was asked for. A reason found on the way is told as it is. */
export function whyUnmet(asked: JointKind | null, got: JointKind, why: string | null): string | null {
  if (asked === null || asked === got || /^Asked for /.test(why ?? '')) return why;
  const reason = why === null ? 'No place along this seam has room for them.' : sentence(why);
  return `Asked for ${asked}. ${reason}${got === 'none' ? '' : ` It gets ${got}.`}`;
}

function bareFinding(bare: readonly Joint[], at: (joint: Joint) => Where): Finding[] {
  if (bare.length === 0) return [];
  const reasons = [...new Set(bare.map(({ why }) => why ?? ''))];
  const say = reasons.map((reason) => {
    const names = bare.filter(({ why }) => (why ?? '') === reason).map(({ seam }) => seam);
    return `${listed(names)} ${names.length === 1 ? 'has' : 'have'} no key. ${sentence(reason)}`.trim();
  });
  return [finding('JOINT_NONE', [...say, ...ledBy(bare)].join(' '), { where: at(bare[0]!) })];
}

/** Seams without keys that others hold true all the same. */
function ledBy(bare: readonly Joint[]): readonly string[] {
  const led = bare.flatMap(({ seam, play }) =>
    play === null || play.nominalMm > TRUE_MM ? [] : [`${seam} within ${play.nominalMm.toFixed(2)} mm`],
  );
  return led.length === 0 ? [] : [`The seams that close at the same time hold ${listed(led)}.`];
}

/** Seams that are off by the same amount are named together, the worst first. */
function looseFinding(joints: readonly Joint[], at: (joint: Joint) => Where): Finding[] {
  const loose = joints
    .flatMap((joint) => (joint.play === null ? [] : [{ joint, play: joint.play }]))
    .filter(({ play }) => !play.held || play.nominalMm > TRUE_MM)
    .sort((one, other) => other.play.nominalMm - one.play.nominalMm);
  const worst = loose[0];
  if (worst === undefined) return [];
  const names = (chosen: typeof loose): string => listed(chosen.map(({ joint }) => joint.seam));
  const amounts = [...new Set(loose.map(({ play }) => misfitWords(play.nominalMm)))];
  const told = amounts.map((amount) => {
    const alike = loose.filter(({ play }) => misfitWords(play.nominalMm) === amount);
    return `${names(alike)} ${amount}`;
  });
  const free = loose.filter(({ play }) => !play.held);
  const say = [
    `Keys let ${loose.length === 1 ? 'a seam' : `${loose.length} seams`} sit more than ${TRUE_MM} mm off at the outer edge: ${told.join('; ')}.`,
    ...(free.length === 0
      ? []
      : [`${names(free)} ${free.length === 1 ? 'is' : 'are'} not held every way by ${keysOf(free)}.`]),
    'Align these by eye too, or take keys closer together.',
  ].join(' ');
  const { joint, play } = worst;
  return [finding('JOINT_LOOSE', say, { where: at(joint), measured: play.nominalMm, limit: TRUE_MM, unit: 'mm' })];
}

function keysOf(free: readonly { readonly joint: Joint }[]): string {
  return free.every(({ joint }) => joint.keys.length === 1) ? 'one key' : 'what keys there are room for';
}

/** Beyond this amount the keys have left their places, and it is not reckoned further. */
function misfitWords(mm: number): string {
  return mm >= LOOSE_MM ? `${LOOSE_MM} mm or more` : `${mm.toFixed(2)} mm`;
}

/** Reasons come as sentences or as half of one. */
function sentence(words: string): string {
  return words === '' || /[.]$/.test(words) ? words : `${words}.`;
}

function placeOn({ lines, outlines }: Seam): readonly [number, number, number] {
  const points = lines[0]?.points ?? outlines[0] ?? Float32Array.of(0, 0, 0);
  const at = 3 * Math.floor(points.length / 6);
  return [points[at]!, points[at + 1]!, points[at + 2]!];
}
