// A slice of the long fuzz run (npm run fuzz): broken files of every format get a sound mesh or a known refusal, and soon.
import { describe, expect, it } from 'vitest';
import { fuzzInput } from './fuzz-inputs.ts';
import { verdictOn } from './fuzz-verdict.ts';

const COUNT = 1000;

describe('broken model files', () => {
  it.each([1, 2, 3, 4, 5])(`${COUNT} inputs of seed %i`, (seed) => {
    for (let index = 0; index < COUNT; index++) {
      const { seedName, mutations, bytes } = fuzzInput(seed, index);
      const { trouble } = verdictOn(bytes);
      if (trouble !== null) expect.fail(`input ${index} (${seedName}: ${mutations.join(', ')}): ${trouble}`);
    }
  });
  it('are the same for the same number', () => {
    for (let index = 0; index < 50; index++) expect(fuzzInput(7, index)).toEqual(fuzzInput(7, index));
  });
});
