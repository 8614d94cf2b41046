// What was changed between two versions of a build, in words: "Layer height: 0.2 mm to 0.28 mm".
import type { Machine } from '../process/machine.ts';
import type { Material } from '../process/material.ts';
import { askedChange, jointsChange, posesChange } from './asked-words.ts';
import type { Block, BookText, Span, Unit } from './book-text.ts';
import type { Build } from './build-file.ts';
import { changedPaths } from './changed-paths.ts';
import { valueAt } from './editable.ts';
import { fieldWords, recordWords, shownValue } from './record-words.ts';

/** The numbers, choices and places of a text that can be changed, by path. */
export type Controls = ReadonlyMap<string, Control>;
/** What shows its own value; words that add to a list and take from it are told by what they changed. */
type Control = Extract<Span, { readonly s: 'number' | 'choice' | 'points' }>;

/** Every control of the texts; of two with one path the first counts. */
export function controlsOf(...texts: readonly BookText[]): Controls {
  const found = new Map<string, Control>();
  const blocks = texts.flatMap((text) => [...text.standfirst, ...text.chapters.flatMap((chapter) => chapter.blocks)]);
  for (const span of blocks.flatMap(spansOf)) if (isControl(span) && !found.has(span.path)) found.set(span.path, span);
  return found;
}

/** Labels and units come from the controls; where there is none, from the words of the path. At most three changes are named. */
export function changeWords(before: Build, after: Build, controls: Controls): string {
  const paths = topMost(changedPaths(before, after), controls);
  if (paths.length === 0) return 'Nothing changed';
  const named = paths.slice(0, MOST_NAMED).map((path) => wordsAt({ before, after, path }, controls));
  const rest = paths.length - named.length;
  return `${named.join('; ')}${rest === 0 ? '' : `; and ${rest} more`}`;
}

const MOST_NAMED = 3;

interface At {
  readonly before: Build;
  readonly after: Build;
  readonly path: string;
}

/** A change inside what one control sets as a whole is told once, as a change of that control. So is a machine or material that was
 *  taken over from the workshop, which its revision gives away. */
function topMost(paths: readonly string[], controls: Controls): readonly string[] {
  const told = paths.map(
    (path) =>
      recordTakenOver(path, paths) ?? measuredAbove(path) ?? askedAbove(path) ?? controlAbove(path, controls) ?? path,
  );
  return told.filter((path, index) => told.indexOf(path) === index);
}

function recordTakenOver(path: string, paths: readonly string[]): string | undefined {
  const record = /^(machines\.\d+|material)\./.exec(path)?.[1];
  return record !== undefined && paths.includes(`${record}.revision`) ? record : undefined;
}

function measuredAbove(path: string): string | undefined {
  return /^machines\.\d+\.measured(?=\.|$)/.exec(path)?.[0];
}

const ASKED = 'pieces.asked';
const ASKED_JOINTS = 'joints.asked';
const ASKED_POSES = 'poses.asked';

function askedAbove(path: string): string | undefined {
  return [ASKED, ASKED_JOINTS, ASKED_POSES].find((asked) => path === asked || path.startsWith(`${asked}.`));
}

function controlAbove(path: string, controls: Controls): string | undefined {
  for (let at = path; at !== ''; at = at.slice(0, Math.max(0, at.lastIndexOf('.')))) if (controls.has(at)) return at;
  return undefined;
}

function wordsAt({ before, after, path }: At, controls: Controls): string {
  const old = valueAt(before, path);
  const now = valueAt(after, path);
  if (path === 'name') return `Title: ${shownValue(old)} to ${shownValue(now)}`;
  if (path === 'machines') return machinesWords(before.machines, after.machines);
  const machine = /^machines\.(\d+)$/.exec(path);
  if (machine !== null) return recordChange('Machine', old as Machine, now as Machine);
  if (path === 'material') return recordChange('Material', old as Material, now as Material);
  if (path === ASKED_JOINTS) return `Joints: ${jointsChange(before.joints.asked, after.joints.asked)}`;
  if (path === ASKED_POSES) return `How pieces lie: ${posesChange(before.poses.asked, after.poses.asked)}`;
  if (path === ASKED) return `Asked of the seams: ${askedChange(before.pieces.asked, after.pieces.asked)}`;
  if (measuredAbove(path) === path)
    return `Measured prints${ofMachine(path, after)}: ${measuredChange(old as Machine['measured'], now as Machine['measured'])}`;
  const control = controls.get(path);
  const label = `${control?.label ?? pathWords(path)}${ofMachine(path, after)}`;
  return `${label}: ${valueWords(old, path, control)} to ${valueWords(now, path, control)}`;
}

function machinesWords(before: readonly Machine[], after: readonly Machine[]): string {
  const had = new Set(before.map(({ id }) => id));
  const has = new Set(after.map(({ id }) => id));
  const added = after.filter(({ id }) => !had.has(id)).map(({ name }) => name);
  const gone = before.filter(({ id }) => !has.has(id)).map(({ name }) => name);
  const ordinal = ['', 'a first', 'a second', 'a third', 'a fourth'][after.length] ?? 'one more';
  const words = [
    ...(added.length === 1 && gone.length === 0
      ? [`${ordinal} one, ${added[0]}`]
      : added.map((name) => `${name} added`)),
    ...gone.map((name) => `${name} taken away`),
  ];
  return `Machines: ${words.join(', ')}`;
}

/** Another record in its place, or the same one as the workshop has it now. */
function recordChange<T extends Machine | Material>(what: string, old: T, now: T): string {
  if (old.id !== now.id) return `${what}: ${old.name} to ${now.name}`;
  const words = recordWords(old, now);
  return `${now.name}: ${words === '' ? `revision ${old.revision} to ${now.revision}` : words}`;
}

/** "“A crown” added, “splices” forgotten". */
function measuredChange(before: Machine['measured'], after: Machine['measured']): string {
  const has = (list: Machine['measured'], one: Machine['measured'][number]): boolean =>
    list.some((other) => JSON.stringify(other) === JSON.stringify(one));
  return [
    ...after.filter((one) => !has(before, one)).map(({ name }) => `“${name}” added`),
    ...before.filter((one) => !has(after, one)).map(({ name }) => `“${name}” forgotten`),
  ].join(', ');
}

function sizeWords(size: Build['wearer']['size']): string {
  if (size.by === 'scale') return `a factor of ${shownValue(size.scale)}`;
  if (size.by === 'height') return `a height of ${shownValue(size.heightMm)}${UNIT_SIGNS.mm}`;
  return `a head of ${shownValue(size.circumferenceMm)}${UNIT_SIGNS.mm}`;
}

function ofMachine(path: string, build: Build): string {
  const index = Number(/^machines\.(\d+)\./.exec(path)?.[1] ?? Number.NaN);
  return build.machines.length < 2 || Number.isNaN(index) ? '' : ` of machine ${index + 1}`;
}

function valueWords(value: unknown, path: string, control: Control | undefined): string {
  if (control?.s === 'choice') {
    const json = JSON.stringify(value ?? null);
    return control.options.find((option) => option.value === json)?.label ?? shownValue(value);
  }
  if (path === 'wearer.size') return sizeWords(value as Build['wearer']['size']);
  if (control?.s === 'points') return value === null || value === undefined ? 'none' : 'set';
  if (typeof value !== 'number') return shownValue(value);
  if (control?.s === 'number') return `${shownValue(value)}${UNIT_SIGNS[control.unit]}`;
  return `${shownValue(value)}${unitOfKey(path)}`;
}

const UNIT_SIGNS: Readonly<Record<Unit, string>> = {
  mm: '\u00a0mm',
  mm2: '\u00a0mm²',
  mm3: '\u00a0mm³',
  g: '\u00a0g',
  m: '\u00a0m',
  s: '\u00a0s',
  deg: '°',
  percent: '\u00a0%',
  count: '',
  factor: '',
  'mm/s': '\u00a0mm/s',
  'mm/s2': '\u00a0mm/s²',
};

/** The unit stands at the end of a name: `layerMm`, `turnDeg.1`, `infillPercent`. */
const KEY_UNITS: readonly (readonly [ending: RegExp, unit: Unit])[] = [
  [/MmS2$/, 'mm/s2'],
  [/MmS$/, 'mm/s'],
  [/Mm$/, 'mm'],
  [/Deg$/, 'deg'],
  [/Percent$/, 'percent'],
  [/[a-z]S$/, 's'],
];

function unitOfKey(path: string): string {
  const unit = KEY_UNITS.find(([ending]) => ending.test(lastName(path)))?.[1];
  return unit === undefined ? '' : UNIT_SIGNS[unit];
}

/** "model.level.turnDeg.1" -> "Model, level, turn"; a field of a machine or material by its own words: "Bed width". */
export function pathWords(path: string): string {
  const field = /^(?:machines\.\d+|material)\.(\w+)(?:\.(\d))?$/.exec(path);
  const side = ['width', 'depth', 'height'][Number(field?.[2] ?? Number.NaN)];
  const words =
    field === null
      ? path
          .split('.')
          .filter((key) => !/^\d+$/.test(key))
          .map((key) => key.replace(/(MmS2|MmS|Mm|Deg|Percent)$/, '').replace(/[A-Z]/g, (c) => ` ${c.toLowerCase()}`))
          .join(', ')
      : `${fieldWords(field[1] ?? '')}${side === undefined ? '' : ` ${side}`}`;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function lastName(path: string): string {
  return path.split('.').findLast((key) => !/^\d+$/.test(key)) ?? path;
}

export function isControl(span: Span): span is Control {
  return span.s === 'number' || span.s === 'choice' || span.s === 'points';
}

function spansOf(block: Block): readonly Span[] {
  if (block.b === 'say') return block.spans;
  return block.b === 'table' ? block.rows.flat(2) : [];
}
