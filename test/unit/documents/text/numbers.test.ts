// Numbers in and out of text without strings: the same as the engine's own parser, and the shortest that reads back.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ByteWriter } from '../../../../src/documents/text/byte-writer.ts';
import { decimalAt } from '../../../../src/documents/text/decimal.ts';

const SEED = 20261;
const bytesOf = (text: string) => new TextEncoder().encode(text);
const parsed = (text: string) => decimalAt(bytesOf(text), 0, text.length);
function spelled(value: number): string {
  const out = new ByteWriter(0);
  out.single(value);
  return new TextDecoder().decode(out.taken());
}

describe('decimalAt', () => {
  it.each([
    '0',
    '-0',
    '1',
    '+1',
    '.5',
    '5.',
    '-1.25e3',
    '1E-3',
    '007',
    '123456789012345678',
    '1e400',
    '1e-400',
    '0.1',
    '4.35',
  ])('reads %s as the engine does', (text) => expect(Object.is(parsed(text), Number(text))).toBe(true));
  it.each(['', '-', '.', 'e5', '1e', '1e+', '1.2.3', '1,5', '0x10', '1f', '--1', '1 2', 'one', 'infinite'])(
    'gives nothing for "%s"',
    (text) => expect(parsed(text)).toBeUndefined(),
  );
  it.each([
    ['nan', Number.NaN],
    ['-NaN(ind)', Number.NaN],
    ['1.#QNAN', Number.NaN],
    ['inf', Infinity],
    ['-Infinity', -Infinity],
  ])('reads %s', (text, value) => expect(parsed(text)).toBe(value));
  it(`agrees with the engine's parser on any double (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true }), (v) => Object.is(parsed(String(v)), v + 0)),
      { seed: SEED, numRuns: 3000 },
    );
  });
});

describe('ByteWriter.single', () => {
  it.each([
    [0, '0'],
    [-0, '-0'],
    [1, '1'],
    [-2.5, '-2.5'],
    [0.1, '0.1'],
    [100, '100'],
    [16777216, '16777216'],
    [0.001, '0.001'],
    [1 / 3, '0.33333334'],
    [1e-10, '1e-10'],
    [3.4028234663852886e38, '3.4028235e+38'],
  ])('spells %s as %s', (value, text) => expect(spelled(Math.fround(value))).toBe(text));
  it(`reads back bit by bit, here and elsewhere, and no decimal of fewer digits does (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.float({ noNaN: true, noDefaultInfinity: true }), (v) => {
        const text = spelled(v);
        const digits = text
          .replace(/e.*/, '')
          .replace(/[-.]/g, '')
          .replace(/^0+|0+$/g, '');
        const fewer = digits.length > 1 ? Number(Math.abs(v).toPrecision(digits.length - 1)) : Number.NaN;
        const isShortest = Math.abs(v) >= 1e6 || Math.fround(fewer) !== Math.abs(v);
        return Object.is(Math.fround(parsed(text)!), v) && Object.is(Math.fround(Number(text)), v) && isShortest;
      }),
      { seed: SEED, numRuns: 5000 },
    );
  });
  it('spells whole numbers', () => {
    for (const value of [0, 9, 10, 99, 100, 4294967295, 999999999999]) {
      const out = new ByteWriter(0);
      out.whole(value);
      expect(new TextDecoder().decode(out.taken())).toBe(String(value));
    }
  });
});
