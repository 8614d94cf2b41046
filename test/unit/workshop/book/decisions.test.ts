// Every question that a book asks has a control in its text, and goes when that control was used.
import { describe, expect, it } from 'vitest';
import { CODES, type FindingCode, type RefusalCode } from '../../../../src/base/codes.ts';
import { finding, refuse } from '../../../../src/base/findings.ts';
import { box } from '../../../../src/mesh/builders.ts';
import { CHAPTER_NAMES, type ChapterName } from '../../../../src/workshop/book/book-text.ts';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import type { BookResults } from '../../../../src/workshop/book/graph.ts';
import { writeBook, writeChapter } from '../../../../src/workshop/book/write-book.ts';
import { quickHelm } from '../../../support/quick-helm.ts';
import { controlPaths, SMALL_BUILD, SMALL_HELM, SMALL_READING, smallBooks } from '../../../support/small-books.ts';

const codes = Object.entries(CODES);
const FINDINGS = codes.filter(([, { kind }]) => kind === 'finding').map(([code]) => code as FindingCode);
const REFUSALS = codes.filter(([, { kind }]) => kind === 'refusal').map(([code]) => code as RefusalCode);

/** What the maker may have set already, in ways that change which controls the text shows. */
const BUILDS: Readonly<Record<string, Build>> = {
  fresh: SMALL_BUILD,
  'wide margin': { ...SMALL_BUILD, pieces: { ...SMALL_BUILD.pieces, marginMm: 30 } },
  'sheet with a wall': withMend({ openings: 'wall' }),
  'sheet with lids': withMend({ openings: 'close' }),
  rebuilt: withMend({ rebuild: true }),
  'rebuilt with a wall': withMend({ rebuild: true, openings: 'wall' }),
  'up and front given': { ...SMALL_BUILD, model: { ...SMALL_BUILD.model, level: { up: [0, 0, 1], front: [0, 0, 1] } } },
  'levelled by hand': {
    ...SMALL_BUILD,
    model: {
      ...SMALL_BUILD.model,
      unit: 'mm',
      level: {
        levelPoints: [
          [0, 0, 0],
          [1, 0, 0],
          [2, 0, 0],
        ],
      },
    },
  },
  'wall kept': { ...SMALL_BUILD, wearer: { ...SMALL_BUILD.wearer, wallMm: 3 } },
};

function withMend(mend: Partial<Build['model']['mend']>): Build {
  return { ...SMALL_BUILD, model: { ...SMALL_BUILD.model, mend: { ...SMALL_BUILD.model.mend, ...mend } } };
}

function refusedAt(name: ChapterName, code: RefusalCode, computed: BookResults): BookResults {
  const at = CHAPTER_NAMES.indexOf(name);
  return Object.fromEntries(
    CHAPTER_NAMES.map((each, index) => {
      if (index < at) return [each, computed[each]];
      if (index > at) return [each, { state: 'waiting', fingerprint: each, on: name }];
      return [
        each,
        { state: 'refused', fingerprint: each, reused: false, refusal: refuse(code, 'It cannot be done.') },
      ];
    }),
  ) as unknown as BookResults;
}

describe('questions of the book', () => {
  const book = smallBooks();

  it.each(Object.keys(BUILDS))('each has a control in the text: %s', async (which) => {
    const build = BUILDS[which]!;
    const { results } = await book('helm', SMALL_HELM);
    let asked = 0;
    for (const name of CHAPTER_NAMES)
      for (const code of REFUSALS) {
        const text = writeBook(build, refusedAt(name, code, results), SMALL_READING);
        for (const { path, chapter } of text.chapters.flatMap(({ decisions }) => decisions)) {
          expect(controlPaths(text), `${code} at ${name}`).toContain(path);
          const of = text.chapters.filter((each) => each.name === chapter);
          expect(controlPaths({ ...text, chapters: of }), `${code}: ${path} in ${chapter}`).toContain(path);
          asked++;
        }
      }
    const about = { where: { path: 'here' }, measured: 1, limit: 10 };
    const all = FINDINGS.map((code) => finding(code, 'Look.', about));
    const found = Object.fromEntries(
      CHAPTER_NAMES.map((name) => [name, { ...results[name], findings: all }]),
    ) as unknown as BookResults;
    const text = writeBook(build, found, { ...SMALL_READING, findings: all });
    for (const { path } of text.chapters.flatMap(({ decisions }) => decisions)) {
      expect(controlPaths(text)).toContain(path);
      asked++;
    }
    expect(asked).toBeGreaterThan(8);
  });

  it('asks what a real book guessed, and no more once it is set', async () => {
    const guessed = await book('helm', SMALL_HELM);
    const paths = guessed.text.chapters.flatMap(({ decisions }) => decisions).map(({ path }) => path);
    expect(paths).toEqual(['model.level.up', 'model.level.front']);
    expect(guessed.summary.next).toMatchObject({ asks: 'Which way is up?', path: 'model.level.up' });
    const level = { up: [0, 0, 1] as [number, number, number], front: [0, -1, 0] as [number, number, number] };
    const set = await book('helm', SMALL_HELM, { ...SMALL_BUILD, model: { ...SMALL_BUILD.model, level } });
    expect(set.text.chapters.flatMap(({ decisions }) => decisions)).toEqual([]);
    expect(set.summary).toMatchObject({
      next: null,
      state: 'computed',
      says: expect.stringMatching(/^One piece, \d+\u00a0h, \d+\u00a0g\.$/),
    });
  });

  it('asks about the unit only while nobody has named it', async () => {
    const odd = finding('UNIT_GUESSED', 'Taken for inches.', { where: { path: 'model file' } });
    const asks = async (unit: Build['model']['unit']): Promise<readonly string[]> => {
      const build = { ...SMALL_BUILD, model: { ...SMALL_BUILD.model, unit } };
      const { text } = await book('helm', SMALL_HELM, build, { ...SMALL_READING, findings: [odd] });
      return text.chapters[0]!.decisions.map(({ path }) => path);
    };
    expect(await asks(null)).toContain('model.unit');
    expect(await asks('in')).not.toContain('model.unit');
  });

  it('asks about a wall that is thin throughout, not about thin rims', async () => {
    const wallOf = async (wallMm: number): Promise<readonly string[]> => {
      const { text } = await book('helm', quickHelm({ rings: 8, around: 20, radiiMm: [90, 110, 120], wallMm }));
      return text.chapters[1]!.decisions.map(({ path }) => path);
    };
    expect(await wallOf(0.6)).toEqual(['wearer.wallMm']);
    expect(await wallOf(3)).toEqual([]);
  });

  it('puts first what a refusal leaves open', async () => {
    const machines = [{ ...SMALL_BUILD.machines[0]!, bedMm: [50, 50, 50] as [number, number, number] }];
    const pieces = { ...SMALL_BUILD.pieces, marginMm: 20 };
    const { summary, text } = await book('helm', SMALL_HELM, { ...SMALL_BUILD, machines, pieces });
    expect(summary).toMatchObject({ state: 'refused', refusedAt: 'pieces' });
    expect(summary.next).toMatchObject({ chapter: 'pieces', path: 'pieces.marginMm' });
    expect(summary.says).toBe(text.chapters[2]!.blocks[0]!.b === 'refusal' ? text.chapters[2]!.blocks[0]!.why : '');
  });
});

describe('a chapter by itself', () => {
  it('is the same as in the whole book, as soon as its own result is known', async () => {
    const book = smallBooks();
    const { build, results, text } = await book('block', box([0, 0, 0], [60, 70, 80]));
    const sofar: Partial<Record<ChapterName, unknown>> = {};
    for (const [index, name] of CHAPTER_NAMES.entries()) {
      sofar[name] = results[name];
      expect(writeChapter(name, build, sofar as Partial<BookResults>, SMALL_READING)).toEqual(text.chapters[index]);
    }
  });
});
