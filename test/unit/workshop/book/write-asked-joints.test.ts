// The words by which a maker has a seam joined another way, and what is told of such wishes.
import { describe, expect, it } from 'vitest';
import { jointsChange, jointsSummary } from '../../../../src/workshop/book/asked-words.ts';
import type { Span } from '../../../../src/workshop/book/book-text.ts';
import { type Build, newBuild } from '../../../../src/workshop/book/build-file.ts';
import { changeWords } from '../../../../src/workshop/book/change-words.ts';
import { astrayWishes, BY_WALL, boughtSizes, jointChoices } from '../../../../src/workshop/book/write-asked-joints.ts';
import { writeJoints } from '../../../../src/workshop/book/write-joints.ts';
import { askedKinds } from '../../../../src/workshop/pieces/joints/asked-joints.ts';
import { AskedJoint } from '../../../../src/workshop/pieces/joints/joints-settings.ts';
import type { Seam } from '../../../../src/workshop/process/pieces-record.ts';
import { sentences, wordsOf } from '../../../support/book-words.ts';
import { plainJoint } from '../../../support/plain-joints.ts';

const line = (z: number, numPoints: number): Float32Array =>
  Float32Array.from(Array.from({ length: numPoints }, (_, i) => [i * 10, 0, z]).flat());
const seam = (id: string, outline: Float32Array): Seam => ({ id, lines: [], outlines: [outline] }) as unknown as Seam;
// the second meets the first in its first point
const seams = [seam('A-B', line(0, 20)), seam('B-C', Float32Array.from([0, 0, 0, 0, 40, 0, 0, 80, 0]))];
const worn = { seams, scale: 2 };
const asking = (asked: Build['joints']['asked'] = []): Build => {
  const build = newBuild({ name: 'Helm', file: 'helm.stl', sha256: '0'.repeat(64) });
  return { ...build, joints: { ...build.joints, asked } };
};
type Entry = Extract<Span, { s: 'entry' }>;
const entriesOf = (build: Build): Entry[] => jointChoices(build, worn) as Entry[];

describe('the choice of a joint', () => {
  it('stands for every seam, by its wall until something is asked', () => {
    expect(entriesOf(asking()).map(({ label, value, path }) => [label, value, path])).toEqual([
      ['Joint of A-B', null, 'joints.asked'],
      ['Joint of B-C', null, 'joints.asked'],
    ]);
    expect(entriesOf(asking())[0]!.options.map(({ label }) => label)).toEqual([
      BY_WALL,
      'tabs',
      'laps',
      'splices',
      'pins',
      'rods',
      'magnets',
      'screws',
      'none',
    ]);
  });

  it.each([0, 1])('makes entries that the build file takes and that are found again on their own seam, %i', (index) => {
    const made = entriesOf(asking())[index]!.options.flatMap(({ entry }) =>
      entry === null ? [] : [AskedJoint.parse(JSON.parse(entry))],
    );
    for (const entry of made) {
      const { kinds, findings } = askedKinds([entry], seams, 2);
      expect(findings).toEqual([]);
      expect(kinds[index]).toBe(entry.join);
      expect(kinds[1 - index]).toBeNull();
    }
  });

  it('shows what stands, and offers the others at the same place', () => {
    const entry = { name: 'A-B', atMm: [40, 1, 0] as [number, number, number], join: 'magnets' as const };
    const [choice] = entriesOf(asking([entry]));
    expect(JSON.parse(choice!.value!)).toEqual(entry);
    expect(JSON.parse(choice!.options.find(({ label }) => label === 'screws')!.entry!)).toEqual({
      ...entry,
      join: 'screws',
    });
  });

  it('is told: met wishes as such, unmet ones in the margin alone', () => {
    const build = asking([
      { name: 'A-B', atMm: [40, 0, 0], join: 'magnets' },
      { name: 'B-C', atMm: [0, 40, 0], join: 'none' },
    ]);
    const joints = [
      plainJoint({ id: 'A-B' }, { kind: 'tabs', why: 'Asked for magnets. The wall falls away. It gets tabs.' }),
      plainJoint({ id: 'B-C' }, { why: 'It was asked to have none.' }),
    ];
    const record = { kind: 'joints', version: 1, pieces: [], joints, loose: [], order: [] } as const;
    const said = sentences(writeJoints(build, record, worn));
    expect(said).toContain('B-C has no keys: they are aligned by eye, and held while the glue sets, as you asked.');
    expect(said.join(' ')).not.toContain('Asked for magnets');
    expect(said.join(' ')).not.toContain('It was asked to have none');
  });

  it('stays within reach while there are no joints', () => {
    const blocks = writeJoints(asking(), null, worn);
    const offered = blocks.filter((block) => block.b === 'say' && block.offers === true);
    expect(
      offered.flatMap((block) => (block.b === 'say' ? block.spans : [])).filter(({ s }) => s === 'entry'),
    ).toHaveLength(2);
  });
});

describe('wishes and sizes', () => {
  it('tells a wish whose seam is gone, and lets it be forgotten', () => {
    const gone = { name: 'C-D', atMm: [0, 0, 300] as [number, number, number], join: 'screws' as const };
    const [block] = astrayWishes(asking([gone]), worn);
    expect(block?.b === 'say' ? wordsOf(block.spans) : '').toBe(
      'You asked for screws for C-D at a place where there is no seam now. ',
    );
    expect(block?.b === 'say' ? block.spans.at(-1) : null).toMatchObject({
      s: 'deed',
      does: 'remove',
      index: 0,
      of: 1,
    });
    expect(astrayWishes(asking(), worn)).toEqual([]);
  });

  it('lets sizes be set of what is bought, once it is asked for', () => {
    expect(boughtSizes(asking(), null)).toEqual([]);
    const sized = boughtSizes(asking([{ name: '', atMm: [0, 0, 0], join: 'magnets' }]), null);
    expect(sentences(sized)).toEqual(['Magnets are discs, 6 mm across and 3 mm high.']);
  });
});

describe('asked joints in history and comparison', () => {
  const at = (x: number): [number, number, number] => [x, 0, 0];
  const magnets = { name: 'A-B', atMm: at(0), join: 'magnets' as const };
  const none = { name: 'B-C', atMm: at(50), join: 'none' as const };

  it('are told by the seam and what it gets', () => {
    expect(jointsChange([], [magnets])).toBe('A-B gets magnets');
    expect(jointsChange([magnets], [{ ...magnets, join: 'screws' }, none])).toBe('A-B gets screws, B-C gets no keys');
    expect(jointsChange([magnets, none], [none])).toBe('A-B goes by its wall again');
    expect(changeWords(asking(), asking([magnets]), new Map())).toBe('Joints: A-B gets magnets');
    expect(changeWords(asking([magnets]), asking([{ ...magnets, join: 'pins' }]), new Map())).toBe(
      'Joints: A-B gets pins',
    );
  });

  it('are one row beside another book', () => {
    expect(jointsSummary([])).toBe('by their walls');
    expect(jointsSummary([magnets, none])).toBe('A-B magnets, B-C no keys');
  });
});
