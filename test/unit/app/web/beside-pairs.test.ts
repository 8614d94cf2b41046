// Which blocks of two chapters stand in one row, and which rows are told apart.
import { describe, expect, it } from 'vitest';
import { type Pair, pairBlocks } from '../../../../src/app/web/beside-pairs.ts';
import type { Block, Span } from '../../../../src/workshop/book/book-text.ts';
import { quantity, say, term } from '../../../../src/workshop/book/spans.ts';

const layer = (value: number, max = 0.6): Span => ({
  s: 'number',
  path: 'print.layerMm',
  label: 'Layer height',
  value,
  unit: 'mm',
  digits: 2,
  min: 0.05,
  max,
  step: 0.02,
  usual: 0.2,
  follows: ['printing'],
});
const drawing = (name: string): Block => ({ b: 'drawing', name, caption: name });
const paired = (left: readonly Block[], right: readonly Block[], drawn: [string[], string[]] = [[], []]) =>
  pairBlocks(
    { blocks: left, drawings: Object.fromEntries(drawn[0].map((name) => [name, `<svg>${name}</svg>`])) },
    { blocks: right, drawings: Object.fromEntries(drawn[1].map((name) => [name, `<svg>${name}</svg>`])) },
  );
const shape = (pairs: readonly Pair[]): readonly string[] =>
  pairs.map(({ left, right, differs }) => `${left?.length ?? '-'} ${right?.length ?? '-'}${differs ? ' differs' : ''}`);

describe('two chapters side by side', () => {
  it('says nothing differs of the same blocks', () => {
    const blocks = [say('Layers are ', layer(0.2), ' high.'), say('It prints for ', quantity(3600, 's'), '.')];
    expect(shape(paired(blocks, blocks))).toEqual(['1 1', '1 1']);
  });

  it('keeps a sentence in its row when only its numbers differ', () => {
    const [one, other] = [[say('Layers are ', layer(0.2), ' high.')], [say('Layers are ', layer(0.28), ' high.')]];
    expect(shape(paired(one, other))).toEqual(['1 1 differs']);
  });

  it('keeps the key of a sentence whatever comes before it, and gives no key twice', () => {
    const [high, found] = [say('Layers are ', layer(0.2), ' high.'), say('It is cut twice.')];
    const keyOf = (pairs: readonly Pair[]) => pairs.find(({ left }) => left?.[0] === high)?.key;
    const [alone, after] = [paired([high], [high]), paired([found, found, high], [found, high])];
    expect(keyOf(after)).toBe(keyOf(alone));
    expect(new Set(after.map(({ key }) => key)).size).toBe(3);
  });

  it('does not tell apart what could be set, only what is', () => {
    expect(shape(paired([say(layer(0.2, 0.6))], [say(layer(0.2, 0.3))]))).toEqual(['1 1']);
  });

  it('lets a sentence that only one side has stand alone, and goes on in step', () => {
    const shared = say('The same on both sides.');
    const pairs = paired(
      [shared, say('It is cut twice.'), say('Last ', term('A'), '.')],
      [shared, say('Last ', term('B'), '.')],
    );
    expect(shape(pairs)).toEqual(['1 1', '1 - differs', '1 1 differs']);
  });

  it('sets different sentences beside each other where nothing else stands between', () => {
    expect(shape(paired([say('Four pieces by seven seams.')], [say('It fits whole.')]))).toEqual(['1 1 differs']);
  });

  it('takes the drawings of single pieces as one sheet, and leaves out what is not drawn', () => {
    const left = ['piece-A', 'piece-B', 'piece-C'].map(drawing);
    const right = ['piece-A', 'whole'].map(drawing);
    expect(shape(paired(left, right, [['piece-A', 'piece-B', 'piece-C'], ['piece-A']]))).toEqual(['3 1 differs']);
  });

  it('tells drawings of one name apart by their lines', () => {
    const blocks = [drawing('whole')];
    const [one, other] = [{ whole: '<svg>1</svg>' }, { whole: '<svg>2</svg>' }];
    expect(shape(pairBlocks({ blocks, drawings: one }, { blocks, drawings: one }))).toEqual(['1 1']);
    expect(shape(pairBlocks({ blocks, drawings: one }, { blocks, drawings: other }))).toEqual(['1 1 differs']);
  });

  it('loses no block of either side', () => {
    const left = [say('a'), say('b ', quantity(1, 'mm')), say('c'), drawing('whole')];
    const right = [say('c'), say('b ', quantity(2, 'mm')), say('d'), say('a')];
    const pairs = pairBlocks({ blocks: left, drawings: { whole: '<svg/>' } }, { blocks: right, drawings: {} });
    expect(pairs.flatMap(({ left: each }) => each ?? [])).toEqual(left);
    expect(pairs.flatMap(({ right: each }) => each ?? [])).toEqual(right);
  });
});
