// The graph recomputes what reads the edited number, and nothing else.
import { beforeAll, describe, expect, it } from 'vitest';
import type { Outcome } from '../../../../src/base/findings.ts';
import { Cancelled } from '../../../../src/base/work.ts';
import type { SolidKernel } from '../../../../src/geometry/solid/solid.ts';
import { memoryMeshStore } from '../../../../src/mesh/memory-mesh-store.ts';
import { CHAPTER_NAMES, type ChapterName } from '../../../../src/workshop/book/book-text.ts';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import type { Records } from '../../../../src/workshop/book/chapter.ts';
import { type BookResults, fingerprints, runBook } from '../../../../src/workshop/book/graph.ts';
import { writeBook } from '../../../../src/workshop/book/write-book.ts';
import { testKernel } from '../../../support/kernel.ts';
import { SMALL_BUILD, SMALL_HELM, SMALL_READING } from '../../../support/small-books.ts';

const build = SMALL_BUILD;

describe('the chapter graph', () => {
  let solid: SolidKernel;
  const meshes = memoryMeshStore();
  const source = { mesh: meshes.put(SMALL_HELM) };
  const stored = new Map<string, Outcome<Records[ChapterName]>>();
  const results = {
    get: (key: string) => stored.get(key),
    put: (key: string, outcome: Outcome<Records[ChapterName]>) => void stored.set(key, outcome),
  };
  let first: BookResults;

  const run = (changed: Build, tick: () => void = () => {}): { book: BookResults; begun: ChapterName[] } => {
    const begun: ChapterName[] = [];
    const hooks = { begun: (name: ChapterName) => void begun.push(name), known: () => {} };
    return { book: runBook(changed, source, { seed: 1, tick, meshes, solid }, { results, hooks }), begun };
  };

  beforeAll(async () => {
    solid = await testKernel();
    first = run(build).book;
  });

  it('computes every chapter once', () => {
    for (const name of CHAPTER_NAMES)
      expect(first[name].state, JSON.stringify(first[name]).slice(0, 300)).toBe('computed');
    expect(run(build).begun).toEqual([]);
  });

  const cases: readonly (readonly [string, (build: Build) => Build, readonly ChapterName[]])[] = [
    ['the layer height', (b) => ({ ...b, print: { ...b.print, layerMm: 0.28 } }), ['printing', 'beds', 'surface']],
    [
      'a speed',
      (b) => ({ ...b, machines: [{ ...b.machines[0]!, wallSpeedMmS: 90 }] }),
      ['printing', 'beds', 'surface'],
    ],
    ['the waking hours', (b) => ({ ...b, beds: { ...b.beds, wakingToH: 23 } }), ['beds', 'surface']],
    ['the papers', (b) => ({ ...b, surface: { ...b.surface, ladder: [120, 240] } }), ['surface']],
    ['the pack', (b) => ({ ...b, material: { ...b.material, packG: 750 } }), ['beds']],
    [
      'the margin',
      (b) => ({ ...b, pieces: { ...b.pieces, marginMm: 8 } }),
      ['pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'],
    ],
    [
      'the size',
      (b) => ({ ...b, wearer: { ...b.wearer, size: { by: 'scale', scale: 0.95 } } }),
      ['wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'],
    ],
    [
      'the turn',
      (b) => ({ ...b, model: { ...b.model, level: { turnDeg: [2, 0, 0] } } }),
      ['model', 'wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'],
    ],
    ['the title', (b) => ({ ...b, name: 'Another title' }), []],
  ];

  it.each(cases)('after %s has changed', (_what, change, expected) => {
    const changed = change(build);
    const before = fingerprints(build, source, solid.version);
    const after = fingerprints(changed, source, solid.version);
    expect(CHAPTER_NAMES.filter((name) => before[name] !== after[name])).toEqual(expected);
    expect(run(changed).begun).toEqual(expected);
  });

  it('knows another version of the kernel as another result', () => {
    const now = fingerprints(build, source, solid.version);
    const then = fingerprints(build, source, 'another');
    for (const name of CHAPTER_NAMES) expect(then[name]).not.toBe(now[name]);
  });

  it('stops at a tick when cancelled, and keeps what was finished', () => {
    const changed: Build = { ...build, pieces: { ...build.pieces, marginMm: 9 } };
    let ticks = 0;
    expect(() =>
      run(changed, () => {
        if (++ticks === 4) throw new Cancelled();
      }),
    ).toThrow(Cancelled);
    expect(run(changed).begun).toEqual(['pieces', 'joints', 'printing', 'beds', 'assembly', 'surface']);
  });

  it('a refused chapter lets the others wait and says why', () => {
    const changed: Build = {
      ...build,
      machines: [{ ...build.machines[0]!, bedMm: [50, 50, 50] }],
      pieces: { ...build.pieces, marginMm: 20 },
    };
    const { book } = run(changed);
    expect(book.pieces.state).toBe('refused');
    expect(book.printing.state).toBe('waiting');
    const text = writeBook(changed, book, SMALL_READING);
    const pieces = text.chapters.find((chapter) => chapter.name === 'pieces');
    expect(pieces?.blocks[0]?.b).toBe('refusal');
  });

  it('sets every sentence with a range from the schema', () => {
    const text = writeBook(build, first, SMALL_READING);
    const numbers = text.chapters
      .flatMap((chapter) => chapter.blocks)
      .flatMap((block) => (block.b === 'say' ? block.spans : []))
      .filter((span) => span.s === 'number');
    expect(numbers.length).toBeGreaterThan(15);
    for (const span of numbers) {
      expect(span.value).toBeGreaterThanOrEqual(span.min);
      expect(span.value).toBeLessThanOrEqual(span.max);
      expect(span.follows.length, span.path).toBeGreaterThan(0);
    }
  });
});
