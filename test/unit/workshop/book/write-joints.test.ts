// The chapter as it reads: what all seams have in one sentence, what differs in a table, what a drawing shows in words.
import { describe, expect, it, vi } from 'vitest';
import { z } from 'zod';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import { keyWords, writeJoints } from '../../../../src/workshop/book/write-joints.ts';
import { JointsChoices } from '../../../../src/workshop/pieces/joints/joints-settings.ts';
import {
  type Joint,
  type JointsRecord,
  type Key,
  LOOSE_MM,
  type LoosePart,
} from '../../../../src/workshop/process/joints-record.ts';
import { sentences, tableRows } from '../../../support/book-words.ts';
import { plainJoint } from '../../../support/plain-joints.ts';

const Machine = z.object({ clearanceMm: z.number().min(0).max(1).default(0.2) });
// a build file that holds nothing but these choices
vi.mock('../../../../src/workshop/book/build-file.ts', () => ({
  buildJsonSchema: () =>
    z.toJSONSchema(z.object({ joints: JointsChoices, machines: z.array(Machine) }), { target: 'draft-2020-12' }),
}));

const build = (more: Partial<JointsChoices> = {}): Build =>
  ({
    joints: JointsChoices.parse(more),
    machines: [{ clearanceMm: 0.2 }],
    material: { densityGCm3: 1.24 },
    print: { supportPercent: 20 },
  }) as unknown as Build;

const key = (more: Partial<Key> = {}): Key => ({
  kind: 'tab',
  carrier: 'A',
  receiver: 'B',
  atMm: [0, 0, 0],
  along: [1, 0, 0],
  into: [0, 0, -1],
  inward: [0, 1, 0],
  widthMm: 16,
  reachMm: 8,
  thickMm: 2.4,
  clearanceMm: 0.2,
  heldBy: 'stops',
  ...more,
});
const play = (nominalMm: number, printedMm: number, held = true) => ({
  nominalMm,
  printedMm,
  held,
  atMm: [0, 0, 0] as const,
});
const tabs = (seam: string, more: Partial<Joint> = {}): Joint =>
  plainJoint(
    { id: seam },
    { kind: 'tabs', keys: [key(), key()], wallMm: 3.1, play: play(0.22, 0.67), aloneMm: 0.22, ...more },
  );
const record = (joints: readonly Joint[], loose: readonly LoosePart[] = []): JointsRecord => ({
  kind: 'joints',
  version: 1,
  pieces: [],
  joints,
  loose,
  order: [],
});

describe('the chapter Joints', () => {
  it('says once what all seams have, and the largest misfit with its seam', () => {
    const blocks = writeJoints(
      build(),
      record([tabs('A-B'), tabs('A-C', { play: play(0.27, 0.8) }), tabs('B-C')]),
      null,
    );
    const said = sentences(blocks);
    expect(said).toContain('All three seams have tabs on the inside, against the wall of the other piece.');
    expect(said).toContain(
      'The clearances let no seam sit further off at its outer edge than 0.27 mm (A-C) as drawn, and 0.8 mm (A-C) if every face prints off the worse way.',
    );
    expect(said.filter((words) => words.includes('A-B'))).toEqual([]);
    expect(tableRows(blocks, 'Joints')).toEqual([
      'A-B | 2 tabs | 3.1 mm | 0.2 mm | 0.22 mm | 0.67 mm',
      'A-C | 2 tabs | 3.1 mm | 0.2 mm | 0.27 mm | 0.8 mm',
      'B-C | 2 tabs | 3.1 mm | 0.2 mm | 0.22 mm | 0.67 mm',
    ]);
  });

  it('tells kinds apart, says why there is none, and what can still move', () => {
    const none = plainJoint({ id: 'A-C' }, { why: 'The wall there is 2.1 mm' });
    const pins = tabs('B-C', { kind: 'pins', keys: [key({ kind: 'pin' })], skinMm: 1.4, play: play(0.1, 0.5, false) });
    const blocks = writeJoints(build(), record([tabs('A-B'), none, pins]), null);
    const said = sentences(blocks);
    expect(said).toContain('A-B has tabs on the inside, against the wall of the other piece.');
    expect(said).toContain('B-C has pins in sockets.');
    expect(said).toContain('What was cut for keys leaves at least 1.4 mm of wall, at B-C.');
    expect(said).toContain('A-C: The wall there is 2.1 mm.');
    expect(said.join(' ')).toContain('B-C can still move in another way than the one in which it opens: hold by hand.');
    expect(tableRows(blocks, 'Joints')[1]).toBe('A-C | none | 3 mm |  |  | ');
    expect(tableRows(blocks, 'Joints')[2]).toBe('B-C | 1 pin | 3.1 mm | 0.2 mm | 0.1 mm | 0.5 mm');
    expect(blocks.flatMap((block) => (block.b === 'drawing' ? [block.name] : []))).toEqual(['joint-A-B', 'joint-B-C']);
  });

  it('tells which seams others lead, that close at the same time', () => {
    const said = (...joints: Joint[]): string => sentences(writeJoints(build(), record(joints), null)).join(' ');
    const bare = plainJoint({ id: 'B-C.2' }, { why: 'Too short.', play: play(0.18, 0.7) });
    expect(said(tabs('A-B'), tabs('B-C', { aloneMm: 0.52 }), bare)).toContain(
      'B-C and B-C.2 lie true by the keys of the seams that close at the same time, not by their own: close a join along all of its seams at once, and run a thumb along these last.',
    );
    expect(said(tabs('A-B'), bare)).toContain('B-C.2 lies true by the keys of the seams');
    expect(said(tabs('A-B'), tabs('B-C', { aloneMm: 0.52, play: play(0.4, 1.2) }))).not.toContain('lie true');
  });

  it('tells sizes as the most that places give, and pins only where there are some', () => {
    const said = (joints: JointsRecord | null): string => sentences(writeJoints(build(), joints, null))[1]!;
    const sizes = 'tabs are up to 16 mm wide and 2.4 mm thick, and reach up to 8 mm over the seam';
    expect(said(record([tabs('A-B')]))).toBe(`A key comes about every 60 mm of seam; ${sizes}.`);
    expect(said(record([tabs('A-B', { kind: 'pins' })]))).toContain(`${sizes}, pins measure up to 4 mm across.`);
    expect(said(null)).toContain('pins measure');
  });

  it('tells which keys stand closer than their machine gives by itself, and why', () => {
    const near = (seam: string) => tabs(seam, { keys: [key({ clearanceMm: 0.15 }), key({ clearanceMm: 0.15 })] });
    const said = (...joints: Joint[]): string => sentences(writeJoints(build(), record(joints), null)).join(' ');
    const why = 'have less, 0.15 mm: closer where nothing else holds a seam true.';
    expect(said(near('A-B'), near('A-C'))).toContain(`The keys of all seams ${why}`);
    expect(said(near('A-B'), tabs('A-C'))).toContain(`The keys of A-B ${why}`);
    expect(said(tabs('A-B'), tabs('A-C'))).not.toContain('closer');
  });

  it('lists what lies ready besides the pieces, alike ones together', () => {
    const rod = { id: 'r', name: 'rod of 1.75 mm', seam: 'A-B', mesh: null, lengthMm: 14, volumeMm3: 30 };
    const blocks = writeJoints(
      build(),
      record([tabs('A-B')], [rod, { ...rod, id: 's' }, { ...rod, lengthMm: 12 }]),
      null,
    );
    expect(tableRows(blocks, 'What the joints need')).toEqual([
      'A-B | rod of 1.75 mm | 2 count | 16 mm | 14 mm',
      'A-B | rod of 1.75 mm | 1 count | 16 mm | 12 mm',
    ]);
  });

  it('weighs splices, which are printed', () => {
    const strips = tabs('A-B', { kind: 'strips', keys: [key({ kind: 'strip', carrier: 'A' })] });
    const splice = { id: 's', name: 'splice', seam: 'A-B', mesh: null, lengthMm: 16, volumeMm3: 500 };
    const blocks = writeJoints(build(), record([strips], [splice, splice]), null);
    expect(tableRows(blocks, 'What the joints need')).toEqual(['A-B | splice | 2 count | 16 mm | 16 mm | 1.24 g']);
  });

  it('tells seams that are hardly led apart from the others, and a wall only where one was measured', () => {
    const blocks = writeJoints(
      build(),
      record([
        tabs('A-B'),
        tabs('B-D', { play: play(LOOSE_MM, LOOSE_MM) }),
        tabs('C-D', { wallMm: 0, keys: [], kind: 'none', play: null }),
      ]),
      null,
    );
    const said = sentences(blocks).join(' ');
    expect(said).toContain('let no other seam sit further off at its outer edge than 0.22 mm (A-B) as drawn');
    expect(said).toContain('B-D is hardly led: the pieces can lie 10 mm off or more.');
    const rows = tableRows(blocks, 'Joints');
    expect(rows[1]).toContain('over 10 mm | over 10 mm');
    expect(rows[2]).toBe('C-D | none |  |  |  | ');
  });

  it('tells the support that keys bring, and the piece with most of it', () => {
    const pieces = [{ id: 'A' }, { id: 'B' }] as unknown as JointsRecord['pieces'];
    const said = (keySupportMm3: readonly number[]): string =>
      sentences(writeJoints(build(), { ...record([tabs('A-B')]), pieces, keySupportMm3 }, null)).join(' ');
    // a fifth of 10 and of 25 cm3, at 1.24 g/cm3
    expect(said([10_000, 25_000])).toMatch(/they bring 8\.68\d* g of support .*, most on B with 6\.2\d* g\./);
    expect(said([10_000, 100])).toContain('all on A.');
    expect(said([100, 100])).toContain('The keys need no support of their own.');
  });

  it('gives one reason once, with all its seams', () => {
    const bare = ['A-B', 'B-C'].map((id) => plainJoint({ id }, { why: 'There is no room.' }));
    const said = sentences(writeJoints(build(), record(bare), null));
    expect(said).toContain('A-B and B-C: There is no room.');
  });

  it('is one sentence without keys', () => {
    expect(sentences(writeJoints(build({ keys: false }), record([tabs('A-B')]), null))).toEqual([
      'The pieces stay as they were cut: they are aligned by eye, and held while the glue sets.',
    ]);
  });

  it.each([
    [{}, 'A tab of A lies 8 mm far against the inside of B.'],
    [{ heldBy: 'pocket' }, 'their lips from inside'],
    [{ kind: 'strip', heldBy: 'seat' }, 'glued into A first'],
    [{ kind: 'pin', widthMm: 4 }, 'A pin of A, 4 mm across, stands 8 mm deep in a socket of B.'],
    [{ kind: 'magnet', reachMm: 1 }, 'poles to attract'],
  ] as const)('says what the drawing of %j shows', (more, words) => {
    expect(keyWords(key(more))).toContain(words);
  });
});
