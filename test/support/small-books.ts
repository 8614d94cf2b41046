// Whole books of small models, computed with the real engine in a few seconds: for tests of what is said about them.
import type { Outcome } from '../../src/base/findings.ts';
import { memoryMeshStore } from '../../src/mesh/memory-mesh-store.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { type BookSummary, summaryOf } from '../../src/workshop/book/book-summary.ts';
import type { Block, BookText, ChapterName, Span } from '../../src/workshop/book/book-text.ts';
import { type Build, newBuild } from '../../src/workshop/book/build-file.ts';
import type { Records } from '../../src/workshop/book/chapter.ts';
import { type BookResults, runBook } from '../../src/workshop/book/graph.ts';
import { type Reading, writeBook } from '../../src/workshop/book/write-book.ts';
import { testKernel } from './kernel.ts';
import { quickHelm } from './quick-helm.ts';

export interface SmallBook {
  readonly name: string;
  readonly build: Build;
  readonly results: BookResults;
  readonly text: BookText;
  readonly summary: BookSummary;
}

/** Fits the usual bed whole, so that its books are there in a second; on a smaller one it takes three pieces and some ten times as long. */
export const SMALL_HELM = quickHelm({ rings: 8, around: 20, radiiMm: [90, 110, 120] });
export const SMALL_BUILD: Build = newBuild({ name: 'Quick helm', file: 'quick.stl', sha256: '0'.repeat(64) });
export const SMALL_READING: Reading = { findings: [], unit: 'millimetres' };

/** What was computed once is kept, so that books of one model share their chapters. */
export function smallBooks(): (name: string, mesh: Mesh, build?: Build, reading?: Reading) => Promise<SmallBook> {
  const meshes = memoryMeshStore();
  const stored = new Map<string, Outcome<Records[ChapterName]>>();
  const kept = {
    get: (key: string) => stored.get(key),
    put: (key: string, outcome: Outcome<Records[ChapterName]>) => void stored.set(key, outcome),
  };
  return async (name, mesh, build = SMALL_BUILD, reading = SMALL_READING) => {
    const work = { seed: 1, tick: () => {}, meshes, solid: await testKernel() };
    const results = runBook(build, { mesh: meshes.put(mesh) }, work, {
      results: kept,
      hooks: { begun: () => {}, known: () => {} },
    });
    const text = writeBook(build, results, reading);
    return { name, build, results, text, summary: summaryOf(results, text) };
  };
}

/** As plain text: "0.28 mm" for a quantity, "<up>" for a control. */
export function plainWords(spans: readonly Span[]): string {
  return spans
    .map((span) => {
      if (span.s === 'text' || span.s === 'term') return span.text;
      if (span.s === 'quantity') return `${Number(span.value.toFixed(span.digits))} ${span.unit}`;
      return `<${span.path}>`;
    })
    .join('');
}

export function plainBlocks(blocks: readonly Block[]): readonly string[] {
  return blocks.flatMap((block) => {
    if (block.b === 'say') return [plainWords(block.spans)];
    return block.b === 'table' ? block.rows.map((row) => row.map(plainWords).join(' | ')) : [];
  });
}

/** Paths of all controls of a text. */
export function controlPaths(text: BookText): ReadonlySet<string> {
  const spans = text.chapters
    .flatMap(({ blocks }) => blocks)
    .flatMap((block) => (block.b === 'say' ? block.spans : []));
  return new Set(spans.flatMap((span) => ('path' in span ? [span.path] : [])));
}
