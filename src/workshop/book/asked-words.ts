// What the maker asks of a division and of its joints, and how that was changed, in words for history and comparison.
import { type AskedOfSeams, askedWords } from '../process/asked-seams.ts';
import type { Build } from './build-file.ts';
import { askedKindWords } from './joint-words.ts';
import { poseWords } from './pose-words.ts';

type Kind = keyof AskedOfSeams;

const KINDS: readonly Kind[] = ['seams', 'clear', 'machines'];
const COUNTED: Readonly<Record<Kind, readonly [one: string, many: string]>> = {
  seams: ['seam asked for', 'seams asked for'],
  clear: ['area kept clear', 'areas kept clear'],
  machines: ['piece with a machine of its own', 'pieces with a machine of their own'],
};

/** "2 seams asked for, 1 area kept clear"; "nothing" where nothing is. */
export function askedSummary(asked: AskedOfSeams): string {
  const words = KINDS.flatMap((kind) => {
    const { length } = asked[kind];
    return length === 0 ? [] : [`${length} ${COUNTED[kind][length === 1 ? 0 : 1]}`];
  });
  return words.length === 0 ? 'nothing' : words.join(', ');
}

/** "“Brow” is asked for", "“Badge” is no longer kept clear", "“Brow” moved". Empty where nothing differs. */
export function askedChange(before: AskedOfSeams, after: AskedOfSeams): string {
  return KINDS.flatMap((kind) => changesOf(kind, before[kind], after[kind])).join(', ');
}

type Entry = AskedOfSeams[Kind][number];

function changesOf(kind: Kind, before: readonly Entry[], after: readonly Entry[]): readonly string[] {
  const same = (a: Entry, b: Entry): boolean => JSON.stringify(a) === JSON.stringify(b);
  const gone = before.filter((old) => !after.some((now) => same(old, now)));
  const come = after.filter((now) => !before.some((old) => same(old, now)));
  // what stands at the same place of a list of the same length was changed, not exchanged
  if (before.length === after.length && kind !== 'machines')
    return come.map((now) => alteredWords(before[after.indexOf(now)]!, now, after.indexOf(now), kind));
  return [
    ...come.map((now) => `${nameOf(now, kind, after.indexOf(now))} ${VERBS[kind][0]}`),
    ...gone.map((old) => `${nameOf(old, kind, before.indexOf(old))} ${VERBS[kind][1]}`),
  ];
}

const VERBS: Readonly<Record<Kind, readonly [come: string, gone: string]>> = {
  seams: ['is asked for', 'is no longer asked for'],
  clear: ['is kept clear', 'is no longer kept clear'],
  machines: ['is set', 'is no longer set'],
};

function alteredWords(old: Entry, now: Entry, index: number, kind: Kind): string {
  const [was, is] = [nameOf(old, kind, index), nameOf(now, kind, index)];
  return was === is ? `${is} moved` : `${was} is now ${is}`;
}

function nameOf(entry: Entry, kind: Kind, index: number): string {
  if ('name' in entry) return `“${entry.name}”`;
  return kind === 'machines' ? `the machine of a piece` : askedWords(kind, index);
}

/** What is told of things asked, by their places in their lists, told by the maker's names for them: names are not computed with. */
export function byNames(words: string, asked: AskedOfSeams): string {
  let out = words;
  for (const kind of ['seams', 'clear'] as const) {
    asked[kind].forEach(({ name }, index) => {
      const told = askedWords(kind, index);
      for (const each of [told, `${told.charAt(0).toLowerCase()}${told.slice(1)}`])
        out = out.replaceAll(each, `“${name}”`);
    });
  }
  return out;
}

type AskedJoints = Build['joints']['asked'];

/** "A-B magnets, C-D no keys"; "by their walls" where nothing is asked. Seams as they were called when it was asked. */
export function jointsSummary(asked: AskedJoints): string {
  const words = asked.map((joint) => `${seamOf(joint)} ${askedKindWords(joint.join)}`);
  return words.length === 0 ? 'by their walls' : words.join(', ');
}

/** "A-B gets magnets", "A-B goes by its wall again". Empty where nothing differs. */
export function jointsChange(before: AskedJoints, after: AskedJoints): string {
  const has = (list: AskedJoints, { join, atMm }: AskedJoints[number]): boolean =>
    list.some((one) => one.join === join && String(one.atMm) === String(atMm));
  const come = after.filter((joint) => !has(before, joint));
  const gone = before.filter(
    (joint) => !has(after, joint) && !come.some(({ atMm }) => String(atMm) === String(joint.atMm)),
  );
  return [
    ...come.map((joint) => `${seamOf(joint)} gets ${askedKindWords(joint.join)}`),
    ...gone.map((joint) => `${seamOf(joint)} goes by its wall again`),
  ].join(', ');
}

function seamOf({ name }: AskedJoints[number]): string {
  return name === '' ? 'a seam' : name;
}

type AskedPoses = Build['poses']['asked'];

/** "A upright, B upside down"; "as they print best" where nothing is asked. Pieces as they were called when it was asked. */
export function posesSummary(asked: AskedPoses): string {
  const words = asked.map((pose) => `${pieceOf(pose)} ${asWished(pose)}`);
  return words.length === 0 ? 'as they print best' : words.join(', ');
}

/** "A lies upright", "A lies as it prints best again". Empty where nothing differs. */
export function posesChange(before: AskedPoses, after: AskedPoses): string {
  const has = (list: AskedPoses, { up, atMm }: AskedPoses[number]): boolean =>
    list.some((one) => String(one.up) === String(up) && String(one.atMm) === String(atMm));
  const come = after.filter((pose) => !has(before, pose));
  const gone = before.filter(
    (pose) => !has(after, pose) && !come.some(({ atMm }) => String(atMm) === String(pose.atMm)),
  );
  return [
    ...come.map((pose) => `${pieceOf(pose)} lies ${asWished(pose)}`),
    ...gone.map((pose) => `${pieceOf(pose)} lies as it prints best again`),
  ].join(', ');
}

function asWished({ up, name }: AskedPoses[number]): string {
  return poseWords(name, { up, lies: 'hull face' }, []);
}

function pieceOf({ name }: AskedPoses[number]): string {
  return name === '' ? 'a piece' : name;
}
