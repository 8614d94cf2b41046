import { describe, expect, it } from 'vitest';
import { listed } from '../../../../src/base/listed.ts';
import {
  hiddenBy,
  placesTogether,
  seamReason,
  seamsByPair,
  seamWords,
} from '../../../../src/workshop/book/seam-words.ts';
import type { Seam, SeamPlaces } from '../../../../src/workshop/process/pieces-record.ts';

const NONE: SeamPlaces = { creaseMm: 0, frontMm: 0, sidesMm: 0, backMm: 0, aboveMm: 0, unseenMm: 0 };
const cases: readonly (readonly [string, Partial<SeamPlaces>])[] = [
  ['facing the front', { frontMm: 200 }],
  ['at the sides and at the back, hidden from the front', { sidesMm: 130, backMm: 80 }],
  ['in a crease and facing the front', { creaseMm: 120, frontMm: 100 }],
  ['in a crease, hidden from the front', { creaseMm: 190, sidesMm: 20, frontMm: 5 }],
  ['out of sight', { unseenMm: 200, backMm: 10 }],
  ['on top and at the sides', { aboveMm: 100, sidesMm: 60, frontMm: 40 }],
  ['here and there', { creaseMm: 40, frontMm: 40, sidesMm: 40, backMm: 40, aboveMm: 40, unseenMm: 0 }],
  ['on the inside only', {}],
];

describe('where a seam lies, in words', () => {
  it.each(cases)('%s', (words, places) => {
    const all = { ...NONE, ...places };
    const outerMm = Object.values(all).reduce((sum, mm) => sum + mm, 0);
    expect(seamWords(all, outerMm)).toBe(words);
  });

  it('names what hides it, and leaves out less than a millimetre', () => {
    expect(hiddenBy({ ...NONE, creaseMm: 12, unseenMm: 0.4 }, 20)).toBe('60% crease');
    expect(hiddenBy({ ...NONE, creaseMm: 12, unseenMm: 4 }, 20)).toBe('60% crease, 20% out of sight');
    expect(hiddenBy({ ...NONE, creaseMm: 12 }, 200)).toBe('nothing');
    expect(hiddenBy(NONE, 0)).toBe('the wall');
  });

  it.each([
    ['open to the front', { frontMm: 200 }, 0],
    ['in a crease', { creaseMm: 190, sidesMm: 5 }, 0],
    ['mostly in a crease; open on the left', { creaseMm: 140, sidesMm: 60 }, 50],
    ['mostly in a crease; open on the right', { creaseMm: 140, sidesMm: 60 }, -50],
    ['partly out of sight, a little in a crease; open at the back', { unseenMm: 50, creaseMm: 30, backMm: 120 }, 0],
    ['on the inside only', {}, 0],
  ] as const)('tells why in a few words: %s', (words, some, x) => {
    const places = { ...NONE, ...some };
    const outerMm = Object.values(places).reduce((sum, mm) => sum + mm, 0);
    const points = Float32Array.of(x, 0, 0, x, 40, 0);
    const line = { points, price: Float32Array.of(1), hiding: Uint8Array.of(0) };
    expect(seamReason({ places, outerMm, lines: [line] })).toBe(words);
  });

  it('takes seams between the same two pieces together', () => {
    const seam = (id: string, pieces: [string, string], frontMm: number) =>
      ({ id, pieces, places: { ...NONE, frontMm } }) as unknown as Seam;
    const pairs = seamsByPair([seam('A-B', ['A', 'B'], 10), seam('B-C', ['C', 'B'], 5), seam('A-B.2', ['B', 'A'], 7)]);
    expect(pairs.map((pair) => pair.map(({ id }) => id))).toEqual([['A-B', 'A-B.2'], ['B-C']]);
    expect(placesTogether(pairs[0]!).frontMm).toBe(17);
    expect([[], ['a'], ['a', 'b'], ['a', 'b', 'c']].map(listed)).toEqual(['', 'a', 'a and b', 'a, b and c']);
  });
});
