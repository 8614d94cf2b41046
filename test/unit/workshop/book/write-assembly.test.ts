// The chapter as it reads: order, what to bead before what, what a dry fit may show.
import { describe, expect, it, vi } from 'vitest';
import { z } from 'zod';
import { AssemblySettings } from '../../../../src/workshop/assembly/assembly.ts';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import { wayWords } from '../../../../src/workshop/book/way-words.ts';
import { writeAssembly } from '../../../../src/workshop/book/write-assembly.ts';
import type { AssembledJoin, AssemblyRecord } from '../../../../src/workshop/process/assembly-record.ts';
import type { PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';
import { sentences, tableRows } from '../../../support/book-words.ts';
import { gluing } from '../../../support/gluing.ts';

// a build file that holds nothing but these choices
vi.mock('../../../../src/workshop/book/build-file.ts', () => ({
  buildJsonSchema: () => z.toJSONSchema(z.object({ assembly: AssemblySettings }), { target: 'draft-2020-12' }),
}));

const build = (more: Partial<AssemblySettings> = {}): Build =>
  ({ assembly: AssemblySettings.parse(more) }) as unknown as Build;

const joins: AssembledJoin[] = [
  { moving: ['B'], onto: ['C'], towards: [0, 0, -1], seams: ['C-B'], meets: [], reach: [] },
  { moving: ['A'], onto: ['C', 'B'], towards: [0, 0.6, -0.8], seams: ['B-A'], meets: [], reach: [] },
];
const record: AssemblyRecord = {
  kind: 'assembly',
  version: 1,
  joins,
  seams: [
    gluing('C-B', { bead: { ...gluing('').bead!, afterJoin: 0, beforeJoin: 1 } }),
    gluing('B-A', { runs: 2, holdS: 60, drops: 52, faceDrops: 12, bead: { ...gluing('').bead!, share: 0.7 } }),
  ],
  steps: [
    {
      id: 'cure',
      name: 'Let all glue cure',
      handsOnS: 0,
      unattendedS: 86400,
      after: [],
      needs: ['a shelf', 'patience'],
      place: 'shelf',
      caution: null,
      source: 'none',
    },
  ],
  totals: { drops: 72, dropsG: 0.432, beadMm: 384, beadG: 2.76, handsOnS: 1800, cureS: 259200 },
};
const pieces = { pieces: [{}, {}, {}] } as unknown as PiecesRecord;

describe('the chapter Assembly', () => {
  it('holds the choices before anything is computed', () => {
    const said = sentences(writeAssembly(build(), null, null));
    expect(said[0]).toBe(
      'Cyanoacrylate of medium grade tacks the pieces, and fills gaps of up to 0.25 mm: a drop every 12.7 mm, 1.5 s each.',
    );
    expect(said.join(' ')).toContain('pressed within 60 s');
    expect(said.at(-1)).toContain('also from under its keys and what holds them: 10');
    expect(sentences(writeAssembly(build({ grade: 'thick' }), null, null)).join(' ')).toContain('held for 60 s');
    expect(sentences(writeAssembly(build({ activator: true }), null, null)).join(' ')).toContain('held for 8 s');
    expect(sentences(writeAssembly(build({ bead: false }), null, null)).join(' ')).toContain('no bead is laid; drops');
    expect(sentences(writeAssembly(build({ hotTool: true }), null, null)).join(' ')).toContain('one every 60 mm');
  });

  it('says how much, in which order, and what to bead before what', () => {
    const blocks = writeAssembly(build(), pieces, record);
    const said = sentences(blocks);
    expect(said).toContain(
      'The three pieces become one in two joins: 1800 s of hands, 72 count drops, which weigh 0.432 g, and 384 mm of bead, 2.76 g from the tube. All is cured 259200 s after the last glue, on day 4 when the last is laid on day 1; until then no sanding, no heat, no head.',
    );
    expect(said).toContain(
      'Bead C-B before A goes onto C + B, and give it an hour: once they are closed no hand gets inside.',
    );
    expect(said).toContain('At the end a hand still reaches B-A in part; there the bead ends where the hand does.');
    expect(tableRows(blocks, 'Joins')).toEqual([
      '1 count | B | C | down | C-B | 20 count | 30 s',
      '2 count | A | C + B | down and to the back | B-A | 52 count | 60 s',
    ]);
    expect(tableRows(blocks, 'Glue')[1]).toBe(
      'B-A | 254 mm | 52 count | 12 on the face, 40 from inside | 2 count | 4 count | 192 mm | 1.3824 g',
    );
    const dry = said.find((words) => words.startsWith('First everything goes together dry'))!;
    expect(dry).toContain('A step up to the second column is the play of the keys as drawn; up to the third');
    expect(dry).toContain('A step beyond the third column has a cause');
    expect(tableRows(blocks, 'Steps to expect')).toEqual([
      'C-B | 0.18 mm | 0.52 mm | glued',
      'B-A | 0.18 mm | 0.52 mm | glued',
    ]);
    expect(tableRows(blocks, 'The work')).toEqual(['1 count | Let all glue cure | a shelf, patience |  | 86400 s']);
  });

  it('says which join does not close', () => {
    const meets = [{ moving: 'A', fixed: 'B', depthMm: 0.31, atMm: [0, 0, 0] as const, beforeMm: 7.5 }];
    const said = sentences(writeAssembly(build(), pieces, { ...record, joins: [joins[0]!, { ...joins[1]!, meets }] }));
    expect(said).toContain(
      'One join does not close: A meets B 7.5 mm before it is home, 0.31 mm deep. Change the keys of that seam before anything is printed.',
    );
  });

  it('says where its numbers come from, and which have no source', () => {
    const last = sentences(writeAssembly(build(), pieces, record)).at(-1)!;
    expect(last).toContain('a handbook of adhesive technology');
    expect(last).toContain('common practice without a source');
  });

  it('says that one piece is not joined', () => {
    const one = { ...record, joins: [], seams: [], steps: [] };
    expect(sentences(writeAssembly(build(), { pieces: [{}] } as unknown as PiecesRecord, one)).at(-1)).toBe(
      'It is one piece: nothing is joined.',
    );
  });
});

describe('the way a piece goes', () => {
  it.each([
    [[0, 0, 1], 'up'],
    [[-1, 0, 0], 'to the wearer’s right'],
    [[0.2, -0.9, 0.38], 'to the front and up'],
    [[0.1, -0.99, 0.1], 'to the front'],
  ] as const)('%j is %s', (way, words) => expect(wayWords(way)).toBe(words));
});
