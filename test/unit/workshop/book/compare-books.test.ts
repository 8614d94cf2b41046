// What is said of two books side by side, on real books of small models.
import { beforeAll, describe, expect, it } from 'vitest';
import { box } from '../../../../src/mesh/builders.ts';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import { type Comparison, compareBooks } from '../../../../src/workshop/book/compare-books.ts';
import { plainBlocks, SMALL_BUILD, SMALL_HELM, type SmallBook, smallBooks } from '../../../support/small-books.ts';

const helm = SMALL_HELM;
const book = smallBooks();
const machine = SMALL_BUILD.machines[0]!;
const large = { ...machine, id: 'large', name: 'machine 300 x 300 x 400 mm', bedMm: [300, 300, 400] as const };
const built = (change: Partial<Build>): Build => ({ ...SMALL_BUILD, ...change });

describe('two books side by side', () => {
  let plain: SmallBook;
  const beside = async (name: string, change: Partial<Build>): Promise<Comparison> =>
    compareBooks(plain, await book(name, helm, built(change)));

  beforeAll(async () => {
    plain = await book('at 0.2 mm', helm);
  });

  it('says so when they are the same', () => {
    const same = compareBooks(plain, { ...plain, name: 'a copy' });
    expect(plainBlocks(same.words)).toEqual([
      'Both are made of the same model and the same choices.',
      'Nothing that was computed differs.',
    ]);
    expect(same).toMatchObject({ tables: [], paths: [] });
  });

  it('names the one choice and what follows from it', async () => {
    const { words, tables, paths } = await beside('at 0.28 mm', { print: { ...SMALL_BUILD.print, layerMm: 0.28 } });
    const [choices, follows] = plainBlocks(words);
    expect(choices).toBe('One choice differs: layer height.');
    expect(follows).toMatch(/^The second, at 0\.28 mm, prints \d+ s shorter; it uses \d g more\.$/);
    expect(paths).toEqual(['print.layerMm']);
    expect(plainBlocks(tables.slice(0, 1))).toEqual(['Layer height | 0.2 mm | 0.28 mm']);
    const rows = plainBlocks(tables.slice(1));
    expect(rows).toContain('Pieces | 1 count | 1 count | same');
    expect(rows.find((row) => row.startsWith('All prints'))).toMatch(/ \| −\d+ s$/);
  });

  it('takes its numbers from the two summaries, and the difference is that of the second', async () => {
    const other = await book('on a small bed', helm, built({ machines: [{ ...machine, bedMm: [220, 220, 180] }] }));
    const { pieces, seamOuterMm } = other.summary.numbers;
    expect(pieces).toBe(2);
    const { words, tables } = compareBooks(plain, other);
    expect(plainBlocks(words)[0]).toBe('One choice differs: bed height.');
    expect(plainBlocks(words)[1]).toContain(
      `takes one piece more, with ${seamOuterMm!.toFixed(0)} mm more seam outside`,
    );
    expect(plainBlocks(tables)).toContain('Pieces | 1 count | 2 count | +1 count');
    const back = plainBlocks(compareBooks(other, plain).words)[1];
    expect(back).toContain(`takes one piece fewer, with ${seamOuterMm!.toFixed(0)} mm less seam outside`);
  });

  it('tells a second machine as a whole, and values that no sentence shows together', async () => {
    const material = { ...SMALL_BUILD.material, packG: 750, revision: 2 };
    const { tables, paths } = await beside('with two machines', { machines: [machine, large as never], material });
    expect(plainBlocks(tables.slice(0, 1))).toEqual([
      `Machines | ${machine.name} | ${machine.name}, ${large.name}`,
      'Further values of the material |  | pack 1000 to 750\u00a0g',
    ]);
    expect(paths).toEqual(['machines', 'material']);
  });

  it('shows choices that only one of the two has', async () => {
    const wearer = {
      ...SMALL_BUILD.wearer,
      wallMm: 4,
      size: { by: 'head' as const, circumferenceMm: 560, clearanceMm: 10 },
    };
    const { words, tables } = await beside('for a head of 560', { wearer });
    expect(plainBlocks(words)[0]).toBe('Six choices differ; the table has them all.');
    expect(plainBlocks(tables.slice(0, 1))).toEqual([
      'How the size is given | by a factor | by a head',
      'Factor | 1 factor | not set',
      'What becomes of the wall | grows with the model | is kept at a thickness of its own',
      'Head circumference | not set | 560 mm',
      'Clearance all round | not set | 10 mm',
      'Wall at worn size | not set | 4 mm',
    ]);
  });

  it('says where a refused book stops, and why', async () => {
    const tiny = { machines: [{ ...machine, bedMm: [50, 50, 50] as [number, number, number] }] };
    const { words, tables } = await beside('on a tiny bed', {
      ...tiny,
      pieces: { ...SMALL_BUILD.pieces, marginMm: 20 },
    });
    expect(plainBlocks(words)[1]).toMatch(
      /^The second, on a tiny bed, stops at Pieces: less its margin of 20 mm no bed/,
    );
    expect(plainBlocks(tables)).toContain('Pieces | 1 count | – | –');
  });

  it('says first when they are of different models', async () => {
    const model = { ...SMALL_BUILD.model, file: 'block.stl', sha256: '1'.repeat(64) };
    const block = await book('a block', box([0, 0, 0], [60, 70, 80]), built({ model }));
    const { words, paths } = compareBooks(plain, block);
    expect(plainBlocks(words).slice(0, 2)).toEqual([
      'These are books of two different models, quick.stl and block.stl.',
      'All choices are the same.',
    ]);
    expect(plainBlocks(words)[2]).toMatch(
      /^The second, a block, stands [\d.]+ mm lower and prints \d+ s shorter; it uses \d+ g less\.$/,
    );
    expect(paths).toEqual([]);
  });
});
