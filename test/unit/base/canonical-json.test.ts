import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson } from '../../../src/base/canonical-json.ts';
import { sha256OfText } from '../../../src/base/sha256.ts';

describe('canonical JSON', () => {
  it('does not depend on the order of members', () => {
    expect(canonicalJson({ b: 1, a: [1, { d: null, c: 'x' }] })).toBe('{"a":[1,{"c":"x","d":null}],"b":1}');
  });

  it('reads back to the same value', () => {
    fc.assert(
      fc.property(fc.jsonValue({ noUnicodeString: false }), (value) => {
        expect(JSON.parse(canonicalJson(value))).toEqual(JSON.parse(JSON.stringify(value)));
      }),
      { seed: 7, numRuns: 100 },
    );
  });

  it('refuses what JSON cannot hold', () => {
    expect(() => canonicalJson({ a: Number.NaN })).toThrow(/finite/);
  });
});

describe('SHA-256', () => {
  // FIPS 180-4 example: the one-block message "abc".
  it('gives the published hash of "abc"', () => {
    expect(sha256OfText('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });
});
