// What follows from the choices of two books, in numbers: one sentence of how the second differs, and a table.
import type { BookNumbers } from './book-summary.ts';
import type { Block, Span, Unit } from './book-text.ts';
import { countWord, quantity, text } from './spans.ts';

interface Result {
  readonly what: string;
  readonly unit: Unit;
  readonly digits: number;
  /** A smaller difference is none. */
  readonly least: number;
  readonly of: (numbers: BookNumbers) => number | null | undefined;
  /** Shown although it is the same, because it is what one looks for first. */
  readonly always?: true;
}

const RESULTS: readonly Result[] = [
  { what: 'Triangles', unit: 'count', digits: 0, least: 1, of: ({ triangles }) => triangles },
  { what: 'Factor', unit: 'factor', digits: 3, least: 0.0005, of: ({ scale }) => scale },
  { what: 'Width', unit: 'mm', digits: 1, least: 0.05, of: ({ sizeMm }) => sizeMm?.[0] },
  { what: 'Depth', unit: 'mm', digits: 1, least: 0.05, of: ({ sizeMm }) => sizeMm?.[1] },
  { what: 'Height', unit: 'mm', digits: 1, least: 0.05, of: ({ sizeMm }) => sizeMm?.[2] },
  { what: 'Round the inside at the brow', unit: 'mm', digits: 0, least: 0.5, of: ({ browMm }) => browMm },
  { what: 'Pieces', unit: 'count', digits: 0, least: 1, of: ({ pieces }) => pieces, always: true },
  { what: 'Seams', unit: 'count', digits: 0, least: 1, of: ({ seams }) => seams },
  { what: 'Seam outside', unit: 'mm', digits: 0, least: 0.5, of: ({ seamOuterMm }) => seamOuterMm, always: true },
  { what: 'Seam as in full view', unit: 'mm', digits: 0, least: 0.5, of: ({ seamCostMm }) => seamCostMm },
  { what: 'All prints', unit: 's', digits: 0, least: 30, of: ({ printS }) => printS, always: true },
  { what: 'Longest print', unit: 's', digits: 0, least: 30, of: ({ longestPrintS }) => longestPrintS, always: true },
  { what: 'Machines used', unit: 'count', digits: 0, least: 1, of: ({ machines }) => machines },
  { what: 'Material', unit: 'g', digits: 0, least: 0.5, of: ({ filamentG }) => filamentG, always: true },
  { what: 'Support', unit: 'g', digits: 0, least: 0.5, of: ({ supportG }) => supportG, always: true },
  { what: 'Filament', unit: 'm', digits: 0, least: 0.5, of: ({ filamentM }) => filamentM },
  { what: 'Cautions', unit: 'count', digits: 0, least: 1, of: ({ cautions }) => cautions },
];

/** Null when nothing differs. A number that one side does not have is a dash there. */
export function resultTable(left: BookNumbers, right: BookNumbers, heads: readonly [string, string]): Block | null {
  const differ = RESULTS.filter((result) => differs(result, left, right));
  if (differ.length === 0) return null;
  const shown = RESULTS.filter((result) => differ.includes(result) || (result.always && result.of(left) != null));
  return {
    b: 'table',
    caption: 'What follows',
    columns: [
      { head: 'Result', align: 'start' },
      { head: heads[0], align: 'end' },
      { head: heads[1], align: 'end' },
      { head: 'Difference', align: 'end' },
    ],
    rows: shown.map((result) => [
      [text(result.what)],
      cell(result, result.of(left)),
      cell(result, result.of(right)),
      difference(result, left, right),
    ]),
  };
}

function differs(result: Result, left: BookNumbers, right: BookNumbers): boolean {
  const [one, other] = [result.of(left) ?? null, result.of(right) ?? null];
  return one === null || other === null ? one !== other : Math.abs(other - one) >= result.least;
}

function cell({ unit, digits }: Result, value: number | null | undefined): readonly Span[] {
  return value === null || value === undefined ? [text('–')] : [quantity(value, unit, digits)];
}

function difference(result: Result, left: BookNumbers, right: BookNumbers): readonly Span[] {
  const [one, other] = [result.of(left) ?? null, result.of(right) ?? null];
  if (one === null || other === null) return [text('–')];
  if (!differs(result, left, right)) return [text('same')];
  return [text(other > one ? '+' : '−'), quantity(Math.abs(other - one), result.unit, result.digits)];
}

type Part = readonly (string | Span)[];

/** How the second differs, as the rest of a sentence: "prints 6 h 10 min shorter and takes one piece fewer, with 120 mm less seam
 *  outside; it uses 80 g more". Null when none of this differs. */
export function differenceWords(left: BookNumbers, right: BookNumbers): Part | null {
  const main: Part[] = [];
  const by = (of: Result['of'], least: number): number | null => {
    const [one, other] = [of(left) ?? null, of(right) ?? null];
    return one === null || other === null || Math.abs(other - one) < least ? null : other - one;
  };
  const higher = by(({ sizeMm }) => sizeMm?.[2], 0.05);
  if (higher !== null) main.push(['stands ', quantity(Math.abs(higher), 'mm', 1), higher > 0 ? ' higher' : ' lower']);
  const longer = by(({ printS }) => printS, 60);
  if (longer !== null) main.push(['prints ', quantity(Math.abs(longer), 's'), longer > 0 ? ' longer' : ' shorter']);
  const more = by(({ pieces }) => pieces, 1);
  if (more !== null) main.push([`takes ${pieceWords(more)}`]);
  const seam = by(({ seamOuterMm }) => seamOuterMm, 1);
  const seamWords = (mm: number): Part => [
    quantity(Math.abs(mm), 'mm'),
    mm > 0 ? ' more seam outside' : ' less seam outside',
  ];
  const grams = by(({ filamentG, supportG }) => (filamentG === undefined ? undefined : filamentG + (supportG ?? 0)), 1);
  const gramWords = (g: number): Part => ['uses ', quantity(Math.abs(g), 'g'), g > 0 ? ' more' : ' less'];
  if (seam !== null && more === null) main.push(['shows ', ...seamWords(seam)]);
  if (main.length === 0) return grams === null ? null : gramWords(grams);
  return [
    ...joined(main),
    ...(seam !== null && more !== null ? [', with ', ...seamWords(seam)] : []),
    ...(grams === null ? [] : ['; it ', ...gramWords(grams)]),
  ];
}

function pieceWords(more: number): string {
  const n = Math.abs(more);
  return `${countWord(n)} piece${n === 1 ? '' : 's'} ${more > 0 ? 'more' : 'fewer'}`;
}

/** "a, b and c". */
function joined(parts: readonly Part[]): Part {
  return parts.flatMap((part, index) => {
    if (index === 0) return part;
    return [index === parts.length - 1 ? ' and ' : ', ', ...part];
  });
}
