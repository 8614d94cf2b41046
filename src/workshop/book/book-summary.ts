// A book in a few numbers and two sentences: what the shelf shows of it and what two books are compared by.
import { type BookText, CHAPTER_NAMES, type ChapterName, type Decision } from './book-text.ts';
import type { BookResults } from './graph.ts';
import { countWord } from './spans.ts';

export interface BookSummary {
  readonly kind: 'book-summary';
  readonly version: 1;
  /** How the book stands as a whole. */
  readonly state: 'computed' | 'refused';
  /** The first chapter that was refused, or null. */
  readonly refusedAt: ChapterName | null;
  /** One sentence: "Four pieces, 58 h, 832 g.", or why it was refused. */
  readonly says: string;
  /** The next thing the maker has to decide, as a question with the path of its control; null when nothing is open. */
  readonly next: Decision | null;
  /** Only what is known; keys in the order in which they are read. */
  readonly numbers: BookNumbers;
}

export interface BookNumbers {
  readonly triangles?: number;
  readonly sizeMm?: readonly [number, number, number];
  readonly scale?: number;
  /** What a tape reads that is laid round the inside at brow height; null where there is no hollow. */
  readonly browMm?: number | null;
  readonly pieces?: number;
  readonly seams?: number;
  readonly seamOuterMm?: number;
  /** Millimetres of seam in full view that would be as dear. */
  readonly seamCostMm?: number;
  readonly printS?: number;
  readonly longestPrintS?: number;
  readonly filamentG?: number;
  readonly supportG?: number;
  readonly filamentM?: number;
  readonly machines?: number;
  readonly cautions?: number;
}

/** The same for what is known of a build. `text`: that of these results. */
export function summaryOf(results: BookResults, text: BookText): BookSummary {
  const refusedAt = CHAPTER_NAMES.find((name) => results[name].state === 'refused') ?? null;
  const numbers = numbersOf(results, text);
  return {
    kind: 'book-summary',
    version: 1,
    state: CHAPTER_NAMES.every((name) => results[name].state === 'computed') ? 'computed' : 'refused',
    refusedAt,
    says: refusedAt === null ? resultWords(numbers) : refusalWords(results, refusedAt),
    next: nextOf(text, refusedAt),
    numbers,
  };
}

/** What was refused is decided first; then in the order of the book. */
function nextOf(text: BookText, refusedAt: ChapterName | null): Decision | null {
  const refused = text.chapters.find(({ name }) => name === refusedAt)?.decisions ?? [];
  return [...refused, ...text.chapters.flatMap(({ decisions }) => decisions)][0] ?? null;
}

function numbersOf(results: BookResults, text: BookText): BookNumbers {
  const { model, wearer, pieces, printing } = results;
  const cautions = text.chapters
    .flatMap(({ margin }) => margin)
    .filter((block) => block.b === 'finding' && block.finding.severity !== 'note').length;
  return {
    ...(model.state === 'computed' ? { triangles: model.record.triangles } : {}),
    ...(wearer.state === 'computed'
      ? { sizeMm: wearer.record.sizeMm, scale: wearer.record.scale, browMm: wearer.record.girth?.innerMm ?? null }
      : {}),
    ...(pieces.state === 'computed'
      ? {
          pieces: pieces.record.pieces.length,
          seams: pieces.record.seams.length,
          seamOuterMm: pieces.record.seams.reduce((sum, seam) => sum + seam.outerMm, 0),
          seamCostMm: pieces.record.seams.reduce((sum, seam) => sum + seam.costMm, 0),
        }
      : {}),
    ...(printing.state === 'computed'
      ? {
          printS: printing.record.totals.printS,
          longestPrintS: Math.max(...printing.record.prints.map(({ printS }) => printS)),
          filamentG: printing.record.totals.filamentG,
          supportG: printing.record.totals.supportG,
          filamentM: printing.record.totals.filamentM,
          machines: new Set(printing.record.prints.map(({ machine }) => machine)).size,
        }
      : {}),
    cautions,
  };
}

/** "Four pieces, 58 h, 832 g." */
function resultWords({ pieces, printS, filamentG, supportG }: BookNumbers): string {
  if (pieces === undefined || printS === undefined || filamentG === undefined) return 'Not everything is computed yet.';
  const count = pieces === 1 ? 'one piece' : `${countWord(pieces)} pieces`;
  const grams = Math.round(filamentG + (supportG ?? 0));
  return `${count[0]!.toUpperCase()}${count.slice(1)}, ${hourWords(printS)}, ${grouped(grams)}${NO_BREAK}g.`;
}

/** The chapter and the first sentence of why. */
function refusalWords(results: BookResults, name: ChapterName): string {
  const result = results[name];
  if (result.state !== 'refused') return '';
  return /^.*?\.(?=\s|$)/s.exec(result.refusal.why)?.[0] ?? result.refusal.why;
}

const NO_BREAK = '\u00a0';
const NARROW = '\u202f';

/** "58 h" from ten hours on, "6 h 10 min" below, "40 min" under one. */
export function hourWords(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes}${NO_BREAK}min`;
  const hours = Math.floor(minutes / 60);
  if (hours >= 10) return `${grouped(Math.round(minutes / 60))}${NO_BREAK}h`;
  return minutes % 60 === 0 ? `${hours}${NO_BREAK}h` : `${hours}${NO_BREAK}h ${minutes % 60}${NO_BREAK}min`;
}

/** Groups of three, from five digits on as prose sets them. */
function grouped(whole: number): string {
  return whole < 10_000 ? String(whole) : String(whole).replace(/\B(?=(\d{3})+$)/g, NARROW);
}
