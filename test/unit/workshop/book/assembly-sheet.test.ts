// The sheet for the bench says what to do in which order, with which amounts, and nothing where nothing is joined.
import { describe, expect, it } from 'vitest';
import { assemblySheet } from '../../../../src/workshop/book/assembly-sheet.ts';
import type { Block, Span } from '../../../../src/workshop/book/book-text.ts';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import type { BookResults } from '../../../../src/workshop/book/graph.ts';
import type { AssemblyRecord } from '../../../../src/workshop/process/assembly-record.ts';
import { gluing } from '../../../support/gluing.ts';
import { plainJoint } from '../../../support/plain-joints.ts';

const bead = { lengthMm: 192, volumeMm3: 1536, grams: 1.4, layS: 38, share: 0.7, afterJoin: 1, beforeJoin: null };
const record = {
  joins: [
    { moving: ['B'], onto: ['C'], towards: [0, 0, -1], seams: ['B-C'], meets: [], reach: [] },
    { moving: ['A'], onto: ['C', 'B'], towards: [0, 1, 0], seams: ['A-B', 'A-C'], meets: [], reach: [] },
  ],
  seams: [
    gluing('B-C', { bead: { ...bead, beforeJoin: 1 } }),
    gluing('A-B', { faceDrops: 12, runs: 2, holdS: 60, drops: 52 }),
    gluing('A-C', { bead: null, stepMm: null }),
  ],
  steps: [
    { needs: ['grit 120 on a flat plate', 'file'] },
    { needs: ['20 drops of glue', 'file', 'cyanoacrylate, a drop each'] },
  ],
  totals: { drops: 92, dropsG: 0.5, beadMm: 384, beadG: 2.8, handsOnS: 1800, cureS: 259200 },
} as unknown as AssemblyRecord;
const joints = [
  plainJoint(
    { id: 'B-C' },
    {
      kind: 'tabs',
      keys: Array(3).fill({ kind: 'tab', carrier: 'B', receiver: 'C', heldBy: 'stops', clearanceMm: 0.15 }) as never,
    },
  ),
  plainJoint({ id: 'A-B' }),
  plainJoint({ id: 'A-C' }),
];
const loose = ['splice', 'splice', 'length of rod', 'length of rod'].map((name) => ({ name }));
const results = (assembly: AssemblyRecord): BookResults =>
  ({
    pieces: {
      state: 'computed',
      record: {
        pieces: [
          { id: 'A', name: 'crown' },
          { id: 'B', name: '' },
          { id: 'C', name: 'face' },
        ],
        seams: ['B-C', 'A-B', 'A-C'].map((id) => ({ id, pieces: id.split('-'), bowMm: id === 'A-C' ? 3 : 0 })),
      },
    },
    joints: { state: 'computed', record: { joints, loose } },
    assembly: { state: 'computed', record: assembly },
  }) as unknown as BookResults;
const build = {
  name: 'A helm',
  joints: { keys: true, marks: true },
  assembly: { grade: 'thick', dropSpacingMm: 12.7, bead: true, beadLegMm: 4, activator: false, hotTool: false },
} as unknown as Build;

const wordsOf = (spans: readonly Span[]): string =>
  spans
    .map((span) => (span.s === 'quantity' ? `${span.value} ${span.unit}` : 'text' in span ? span.text : ''))
    .join('');
const said = (blocks: readonly Block[]): string[] =>
  blocks.map((block) =>
    block.b === 'say'
      ? wordsOf(block.spans)
      : block.b === 'table'
        ? block.rows.map((row) => row.map((cell) => wordsOf(cell)).join(' | ')).join('\n')
        : block.b === 'caution'
          ? block.title
          : '',
  );

describe('the sheet for the bench', () => {
  const sheet = assemblySheet(build, results(record))!;
  const beside = said(sheet.beside);

  it('names the pieces, sums up, and says what lies ready', () => {
    expect(beside[0]).toBe('A crown; B; C face. Letters are engraved inside, with an arrow that points up.');
    expect(beside[1]).toContain('Three pieces, two joins. 1800 s of hands, 92 count drops, cured 259200 s after');
    expect(beside[2]).toBe(
      'Lies ready: grit 120 on a flat plate, file; 2 splices and 2 lengths of rod; cyanoacrylate, thick grade; 12 strips of tape; 2.8 g of flexible adhesive.',
    );
  });

  it('says what to free of support, how each face is dressed, and which are bowed', () => {
    expect(beside[3]).toBe(
      'Support and strings off every piece first, also from under all tabs and stops: these slide with as little as 0.15 mm of room.',
    );
    expect(beside[4]).toBe(
      'Faces. Sand flat ones on a flat plate; file between tabs that stand out; only take the burrs off bowed ones (A-C).',
    );
  });

  it('says up to which step to press, and what to do beyond it', () => {
    expect(beside[5]).toMatch(
      /^Dry fit first\. .* no more than “at most” in the lower table is play: .* Beyond that do not press/,
    );
  });

  it('says how to glue, and what to bead before which join', () => {
    expect(beside.some((words) => words.startsWith('Glue from inside:'))).toBe(true);
    expect(beside.some((words) => words.startsWith('Glue on the face:'))).toBe(true);
    expect(beside.at(-1)).toBe(
      'Bead, legs of 4 mm: B-C before join 2; A-B when all is joined, as far as a hand comes.',
    );
  });

  it('counts what the hand counts, with the maker’s own times before those of the grade', () => {
    expect(beside).toContain('Each run: a drop every 12.7 mm, pressed within 120 s of the first and held for 60 s.');
    const own = { ...build, assembly: { ...build.assembly, openS: 45, activator: true } } as Build;
    expect(said(assemblySheet(own, results(record))!.beside)).toContain(
      'Each run: a drop every 12.7 mm, pressed within 45 s of the first and held for 8 s.',
    );
  });

  it('has the joins in their order, then every seam with its step', () => {
    const [joins, seams] = said(sheet.tables.map(({ table }) => table));
    expect(joins!.split('\n')).toEqual([
      '1 count | B onto C | down | B-C | 20 from inside | 1 count | 30 s | 4 count',
      '2 count | A onto C + B | to the back | A-B and A-C | 12 on the face, 60 from inside | 3 count | 90 s | 8 count',
    ]);
    expect(seams!.split('\n')[0]).toBe('B-C | 3 tabs | 0.18 mm | 0.52 mm | 254 mm | 20 count |  | 192 mm');
    expect(seams!.split('\n')[2]).toBe('A-C | none |  |  | 254 mm | 20 count |  | ');
  });

  it('asks for no glue and no tape where all comes apart', () => {
    const screwed = gluing('B-C', { stays: 'removable', drops: 0, layS: 0, runs: 0, holdS: 0, tapes: 0, bead: null });
    const apart = {
      ...record,
      joins: record.joins.slice(0, 1),
      seams: [screwed],
      steps: [{ needs: ['file', 'short screwdriver'] }],
      totals: { drops: 0, dropsG: 0, beadMm: 0, beadG: 0, handsOnS: 600, cureS: 0 },
    } as unknown as AssemblyRecord;
    const words = said(assemblySheet(build, results(apart))!.beside).join(' ');
    expect(words).toContain('600 s of hands. Numbers');
    expect(words).toContain('Lies ready: file, short screwdriver; 2 splices and 2 lengths of rod.');
  });

  it('warns of glue, vapour and heat', () => expect(said(sheet.cautions)).toEqual(['Glue', 'Vapour', 'Heat']));

  it('is none where nothing is joined', () => {
    expect(assemblySheet(build, results({ ...record, joins: [] }))).toBeNull();
    expect(
      assemblySheet(build, { ...results(record), joints: { state: 'waiting' } } as unknown as BookResults),
    ).toBeNull();
  });
});
