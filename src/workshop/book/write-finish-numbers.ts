// Writes the numbers that filling, sanding and spraying are reckoned with: each can be changed, and says where it comes from.
import {
  CAN_M2,
  FINISH_NUMBERS,
  type FinishNumber,
  type FinishNumberName,
  NONE,
  PLAIN_STEP_MM,
} from '../facts/finish-numbers.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { editable } from './editable.ts';
import { text } from './spans.ts';

/** Those that count for what is chosen. */
export function finishNumbersTable(build: Build): Block {
  const names = Object.keys(FINISH_NUMBERS) as FinishNumberName[];
  const own = names
    .filter((name) => isUsed(name, build.surface))
    .map((name): [string, FinishNumber] => [`surface.numbers.${name}`, FINISH_NUMBERS[name]]);
  const { primerFrom } = build.surface;
  const rows: [string, FinishNumber][] = [
    ['surface.plainStepMm', PLAIN_STEP_MM],
    ...(primerFrom === 'can' ? [['surface.canM2', CAN_M2] as [string, FinishNumber]] : []),
    ...own,
  ];
  return {
    b: 'table',
    caption:
      'The numbers it is reckoned with; change what is different at your bench. Practice: common practice, no source. A: a law or standard, B: a data sheet, C: a web page, M: from memory',
    columns: [
      { head: 'What', align: 'start' },
      { head: 'Value', align: 'end' },
      { head: 'From', align: 'start' },
    ],
    rows: rows.map(([path, number]) => [
      [text(number.what)],
      valueSpans(build, path, number),
      [text(number.source === NONE ? 'practice' : `${number.source} (${number.grade})`)],
    ]),
  };
}

const AFTER: Readonly<Record<Exclude<FinishNumber['unit'], 'mm' | 'percent'>, string>> = {
  um: ' µm',
  ml: ' ml',
  s: ' s',
  min: ' min',
  h: ' h',
  cm2: ' cm²',
  m2: ' m²',
  times: ' times',
  degC: ' °C',
  'g/ml': ' g/ml',
};

function valueSpans(build: Build, path: string, { what, unit, digits }: FinishNumber): readonly Span[] {
  const look = { label: what, digits, step: 10 ** -digits };
  if (unit === 'mm' || unit === 'percent') return [editable(build, path, { ...look, unit })];
  return [editable(build, path, { ...look, unit: 'count' }), text(AFTER[unit])];
}

type Chosen = Build['surface'];

/** What decides whether a number counts; those that are not named always do. */
const USED: Readonly<Partial<Record<FinishNumberName, (chosen: Chosen) => boolean>>> = {
  allowedStageMm: ({ target }) => target === 'stage',
  allowedHandMm: ({ target }) => target === 'hand',
  allowedCameraMm: ({ target }) => target === 'camera',
  primerCoatMm: ({ rings }) => rings === 'primer',
  ...sameFor((chosen) => chosen.rings === 'resin', ['resinMm', 'resinDryH', 'resinPackMl']),
  ...sameFor((chosen) => chosen.rings === 'putty' || chosen.seams === 'putty', ['puttyMm', 'puttyDryH', 'puttyPackMl']),
  ...sameFor(
    (chosen) => chosen.seams === 'filler',
    ['fillerMm', 'fillerDryMin', 'fillerPackMl', 'hardenerPercent', 'potMin', 'mixLeastC', 'fillerDensity'],
  ),
  paintDryMin: isPainted,
  clearCanM2: ({ clear }) => clear.base !== 'none' && clear.from === 'can',
  ...sameFor(({ primerFrom }) => primerFrom === 'gun', ['primerSolids', 'primerDryUm']),
  ...sameFor(
    ({ paint, clear }) =>
      (paint.base !== 'none' && paint.from === 'gun') || (clear.base !== 'none' && clear.from === 'gun'),
    ['paintSolids', 'paintDryUm'],
  ),
  ...sameFor((chosen) => froms(chosen).includes('gun'), ['landsPercent', 'tinMl']),
};

function isUsed(name: FinishNumberName, chosen: Chosen): boolean {
  return USED[name]?.(chosen) ?? true;
}

function isPainted({ paint, clear }: Chosen): boolean {
  return paint.base !== 'none' || clear.base !== 'none';
}

/** How all that is chosen is sprayed. */
function froms({ primerFrom, paint, clear }: Chosen): readonly string[] {
  return [primerFrom, ...[paint, clear].filter(({ base }) => base !== 'none').map(({ from }) => from)];
}

function sameFor(
  isCounted: (chosen: Chosen) => boolean,
  names: readonly FinishNumberName[],
): Partial<Record<FinishNumberName, (chosen: Chosen) => boolean>> {
  return Object.fromEntries(names.map((name) => [name, isCounted]));
}
