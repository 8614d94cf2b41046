// Which choices of two books differ, as rows of a table: named as the text names them, in the order of the book.
import type { Machine } from '../process/machine.ts';
import { askedSummary, jointsSummary, posesSummary } from './asked-words.ts';
import type { Block, BookText, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { isControl, pathWords } from './change-words.ts';
import { changedPaths } from './changed-paths.ts';
import { valueAt } from './editable.ts';
import { recordWords, shownValue } from './record-words.ts';
import { quantity, text } from './spans.ts';

export interface ChoiceRow {
  /** Where in the build file. */
  readonly path: string;
  /** "Layer height". */
  readonly what: string;
  readonly left: readonly Span[];
  readonly right: readonly Span[];
}

interface Book {
  readonly build: Build;
  readonly text: BookText;
}
type Control = Extract<Span, { readonly s: 'number' | 'choice' | 'points' }>;

/** Rows for everything that the two texts let one change and that is not the same, then for what stands in the build file alone.
 *  Titles and the model file are no choices of this kind: whoever compares says so in words. */
export function differentChoices(left: Book, right: Book): readonly ChoiceRow[] {
  const rows = [
    ...machineRows(left.build, right.build),
    ...controlRows(left, right),
    ...askedRows(left.build, right.build),
    ...jointRows(left.build, right.build),
    ...poseRows(left.build, right.build),
  ];
  return [...rows, ...furtherRows(left.build, right.build, rows)];
}

/** One machine in the place of another, or more of them. */
function machineRows(left: Build, right: Build): readonly ChoiceRow[] {
  const names = (machines: readonly Machine[]): readonly Span[] => [text(machines.map(({ name }) => name).join(', '))];
  if (left.machines.length !== right.machines.length)
    return [{ path: 'machines', what: 'Machines', left: names(left.machines), right: names(right.machines) }];
  return left.machines.flatMap((machine, index) => {
    const other = right.machines[index]!;
    if (machine.id === other.id) return [];
    const what = left.machines.length === 1 ? 'Machine' : `Machine ${index + 1}`;
    return [{ path: `machines.${index}`, what, left: names([machine]), right: names([other]) }];
  });
}

function askedRows({ pieces: left }: Build, { pieces: right }: Build): readonly ChoiceRow[] {
  if (sameJson(left.asked, right.asked)) return [];
  const words = [left, right].map(({ asked }) => [text(askedSummary(asked))]);
  return [{ path: 'pieces.asked', what: 'Asked of the seams', left: words[0]!, right: words[1]! }];
}

function jointRows({ joints: left }: Build, { joints: right }: Build): readonly ChoiceRow[] {
  if (sameJson(left.asked, right.asked)) return [];
  const words = [left, right].map(({ asked }) => [text(jointsSummary(asked))]);
  return [{ path: 'joints.asked', what: 'Joints asked for', left: words[0]!, right: words[1]! }];
}

function poseRows({ poses: left }: Build, { poses: right }: Build): readonly ChoiceRow[] {
  if (sameJson(left.asked, right.asked)) return [];
  const words = [left, right].map(({ asked }) => [text(posesSummary(asked))]);
  return [{ path: 'poses.asked', what: 'Poses asked for', left: words[0]!, right: words[1]! }];
}

function controlRows(left: Book, right: Book): readonly ChoiceRow[] {
  const ofLeft = controlsOf(left.text);
  const ofRight = controlsOf(right.text);
  const several = left.build.machines.length > 1 || right.build.machines.length > 1;
  return [...new Set([...ofLeft.keys(), ...ofRight.keys()])].flatMap((key): readonly ChoiceRow[] => {
    const one = ofLeft.get(key);
    const other = ofRight.get(key);
    const { path, label } = (one ?? other)!;
    if (isOfOneSide(path, left.build, right.build)) return [];
    if (sameJson(valueAt(left.build, path), valueAt(right.build, path))) return [];
    const shown = [shownAt(one, left.build, path), shownAt(other, right.build, path)] as const;
    if (sameJson(...shown)) return [];
    return [{ path, what: `${label}${several ? machineOf(path) : ''}`, left: shown[0], right: shown[1] }];
  });
}

/** A machine that only one of the two has is told as a whole. */
function isOfOneSide(path: string, left: Build, right: Build): boolean {
  const index = /^machines\.(\d+)\./.exec(path)?.[1];
  return index !== undefined && Number(index) >= Math.min(left.machines.length, right.machines.length);
}

/** Which machine it is shows in what its values are; a machine that only one side has is told above. */
const WHOLE_MACHINES = /^machines(\.\d+)?$/;

/** Every control of the text by its kind and path: a choice and a number may share one. */
function controlsOf({ chapters }: BookText): ReadonlyMap<string, Control> {
  const found = new Map<string, Control>();
  for (const span of chapters.flatMap(({ blocks }) => blocks).flatMap(spansOf))
    if (isControl(span) && !WHOLE_MACHINES.test(span.path) && !found.has(`${span.s} ${span.path}`))
      found.set(`${span.s} ${span.path}`, span);
  return found;
}

function spansOf(block: Block): readonly Span[] {
  if (block.b === 'say') return block.spans;
  return block.b === 'table' ? block.rows.flat(2) : [];
}

function shownAt(control: Control | undefined, build: Build, path: string): readonly Span[] {
  if (control === undefined) return [text(shownValue(valueAt(build, path)))];
  if (control.s === 'number') return [quantity(control.value, control.unit, control.digits)];
  if (control.s === 'points') return [text(control.value === null ? 'none set' : 'set by hand')];
  return [text(control.options.find(({ value }) => value === control.value)?.label ?? 'something else')];
}

function machineOf(path: string): string {
  const index = /^machines\.(\d+)\./.exec(path)?.[1];
  return index === undefined ? '' : ` of machine ${Number(index) + 1}`;
}

/** Differences that no control of the texts shows: values of machines and material together, everything else by its own name. */
function furtherRows(left: Build, right: Build, shown: readonly ChoiceRow[]): readonly ChoiceRow[] {
  const paths = changedPaths(left, right).filter(
    (path) =>
      !/^(name|model\.(file|sha256))$/.test(path) &&
      !shown.some((row) => path === row.path || path.startsWith(`${row.path}.`) || row.path.startsWith(`${path}.`)),
  );
  const records = [...new Set(paths.flatMap((path) => /^(machines\.\d+|material)\./.exec(path)?.[1] ?? []))];
  return [
    ...records.flatMap((record) => recordRow(left, right, { record, paths })),
    ...paths
      .filter((path) => !records.some((record) => path.startsWith(`${record}.`)))
      .map((path) => ({
        path,
        what: pathWords(path),
        left: [text(shownValue(valueAt(left, path)))],
        right: [text(shownValue(valueAt(right, path)))],
      })),
  ];
}

/** "Further values of the machine: closing speed 40 to 60 mm/s"; nothing when only the revision differs. */
function recordRow(
  left: Build,
  right: Build,
  { record, paths }: { readonly record: string; readonly paths: readonly string[] },
): readonly ChoiceRow[] {
  const before = valueAt(left, record) as Machine;
  const keys = paths
    .filter((path) => path.startsWith(`${record}.`))
    .map((path) => path.split('.')[record.split('.').length]!);
  const after = { ...before, ...Object.fromEntries(keys.map((key) => [key, valueAt(right, `${record}.${key}`)])) };
  const words = recordWords(before, after);
  if (words === '') return [];
  const what =
    record === 'material'
      ? 'Further values of the material'
      : `Further values of machine ${Number(record.split('.')[1]) + 1}`;
  return [{ path: record, what, left: [text('')], right: [text(words)] }];
}

function sameJson(a: unknown, b: unknown): boolean {
  return JSON.stringify(a ?? null) === JSON.stringify(b ?? null);
}
