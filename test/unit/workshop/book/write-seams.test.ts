// The divisions compared, and the seams of the one that is made.
import { describe, expect, it } from 'vitest';
import type { Block } from '../../../../src/workshop/book/book-text.ts';
import { proposalBlocks, seamSentences } from '../../../../src/workshop/book/write-seams.ts';
import type { PiecesRecord, Proposal, ProposalName, Seam } from '../../../../src/workshop/process/pieces-record.ts';
import { askedBuild } from '../../../support/asked-page.ts';

const places = { creaseMm: 0, frontMm: 0, sidesMm: 60, backMm: 40, aboveMm: 0, unseenMm: 0 };
const seam = (id: string, more: Partial<Seam> = {}): Seam =>
  ({
    id,
    pieces: id.slice(0, 3).split('-'),
    outerMm: 100,
    costMm: 40,
    areaMm2: 300,
    bowMm: 0,
    lines: [],
    places,
    ...more,
  }) as unknown as Seam;
const proposal = (name: ProposalName, more: Partial<Proposal> = {}): Proposal => ({
  name,
  sameAs: null,
  pieces: 4,
  outerMm: 999,
  costMm: 888,
  supportG: 10,
  printS: 36_000,
  longestPrintS: 20_000,
  seams: [],
  ...more,
});
const recordOf = (proposals: readonly Proposal[], seams: readonly Seam[]): PiecesRecord =>
  ({ proposal: proposals[0]?.name ?? null, proposals, seams }) as unknown as PiecesRecord;

function wordsOf(block: Block): string {
  if (block.b !== 'say') return '';
  return block.spans
    .map((span) => (span.s === 'quantity' ? `${span.value} ${span.unit}` : 'text' in span ? span.text : ''))
    .join('');
}

describe('seams in sentences', () => {
  it('say for each pair of pieces where they lie, how long, how dear, and how far they bow', () => {
    const record = recordOf([], [seam('A-B', { bowMm: 4.2 }), seam('B-C'), seam('A-B.2')]);
    expect(seamSentences(record).map(wordsOf)).toEqual([
      'A-B and A-B.2: at the sides and at the back, hidden from the front, 200 mm, as dear as 80 mm in full view, joined on 600 mm2; to lie there it leaves its plane by up to 4.2 mm.',
      'B-C: at the sides and at the back, hidden from the front, 100 mm, as dear as 40 mm in full view, joined on 300 mm2.',
    ]);
  });
});

describe('the divisions compared', () => {
  const build = askedBuild();

  it('is nothing where no division was needed, one sentence where all three are the same', () => {
    expect(proposalBlocks(build, recordOf([], []))).toEqual([]);
    const same = [
      proposal('fewest'),
      proposal('hidden', { sameAs: 'fewest' }),
      proposal('quickest', { sameAs: 'fewest' }),
    ];
    const blocks = proposalBlocks(build, recordOf(same, [seam('A-B')]));
    expect(blocks).toHaveLength(1);
    expect(wordsOf(blocks[0]!)).toContain('all three came out the same');
  });

  it('tells all of them flat, what the bows of the one that is made gain, and draws each that differs', () => {
    const three = [proposal('fewest'), proposal('hidden', { pieces: 5 }), proposal('quickest', { sameAs: 'hidden' })];
    const [, table, bow, ...drawings] = proposalBlocks(build, recordOf(three, [seam('A-B'), seam('B-C')]));
    if (table?.b !== 'table') throw new Error('a table was expected');
    expect(
      table.rows.map((row) =>
        row.map((cell) => cell.map((span) => ('value' in span ? span.value : 'text' in span ? span.text : ''))),
      ),
    ).toEqual([
      [['fewest pieces'], [4], [888], [10], [36_000], [20_000]],
      [['well hidden seams'], [5], [888], [10], [36_000], [20_000]],
      [['quickest to print', ', the same as well hidden seams'], [], [], [], [], []],
    ]);
    expect(wordsOf(bow!)).toBe(
      'Led into creases and edges, the seams of the one that is made come from 888 mm to 80 mm; those of another would be led so too, if you choose it.',
    );
    const [made] = drawings;
    if (made?.b !== 'drawing') throw new Error('a drawing was expected');
    expect(made.names!.map((spans) => wordsOf({ b: 'say', spans }))).toEqual([
      'A-B  100 mm, open at the sides and at the back',
      'B-C  100 mm, open at the sides and at the back',
    ]);
    expect(drawings.map((block) => (block.b === 'drawing' ? [block.name, block.caption.split(':')[0]] : null))).toEqual(
      [
        ['division-fewest', 'Fewest pieces'],
        ['division-hidden', 'Well hidden seams and quickest to print'],
      ],
    );
  });

  it('tells what less of seam would take', () => {
    const three = [
      proposal('hidden', { costMm: 400, supportG: 100, printS: 60 * 3600 }),
      proposal('fewest', { costMm: 300, supportG: 500, printS: 80 * 3600 }),
      proposal('quickest', { costMm: 395 }),
    ];
    const made = { ...seam('A-B'), costMm: 400 };
    expect(wordsOf(proposalBlocks(build, recordOf(three, [made]))[2]!)).toBe(
      'The division with fewest pieces would have 100 mm less of seam cost, for 400 g more support to break off and 72000 s more of the machine.',
    );
    const least = [proposal('hidden', { costMm: 305 }), three[1]!, three[2]!];
    expect(proposalBlocks(build, recordOf(least, [{ ...made, costMm: 300 }]))[2]?.b).toBe('drawing');
  });
});
