// Small words for writing sentences as data.
import type { Block, Span, Unit } from './book-text.ts';

export const text = (words: string): Span => ({ s: 'text', text: words });
export const term = (words: string): Span => ({ s: 'term', text: words });
export const quantity = (value: number, unit: Unit, digits = 0): Span => ({ s: 'quantity', value, unit, digits });

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
