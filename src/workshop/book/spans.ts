// Small words for writing sentences as data.
import type { Block, Span, Unit } from './book-text.ts';

export const text = (words: string): Span => ({ s: 'text', text: words });
export const term = (words: string): Span => ({ s: 'term', text: words });
export const quantity = (value: number, unit: Unit, digits = 0): Span => ({ s: 'quantity', value, unit, digits });

/** How far hours may be off, no finer than it is known: to 5 minutes under an hour, to 10 under ten hours, else to whole hours. */
export function plusMinusHours(seconds: number): Span {
  const step = seconds < 600 ? 60 : seconds < 3600 ? 300 : seconds < 36_000 ? 600 : 3600;
  return quantity(Math.max(step, Math.round(seconds / step) * step), 's');
}

/** Work at a bench is not known to the second. */
export function wholeMinutes(seconds: number): number {
  return Math.round(seconds / 60) * 60;
}

/** A paragraph: strings are plain text. */
export function say(...parts: readonly (string | Span)[]): Block {
  return { b: 'say', spans: parts.map((part) => (typeof part === 'string' ? text(part) : part)) };
}

/** The same for a sentence that only lets the maker choose. */
export function offer(...parts: readonly (string | Span)[]): Block {
  return { b: 'say', spans: parts.map((part) => (typeof part === 'string' ? text(part) : part)), offers: true };
}

const SMALL = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'];

/** Numbers up to twelve as words, as prose sets them. */
export function countWord(n: number): string {
  return SMALL[n] ?? String(n);
}
