// Two real books of one small model, at two layer heights and on two beds, with their drawings and what differs.

import type { Beside, BesideSide } from '../../src/app/api/beside.ts';
import { drawBook } from '../../src/app/worker/draw-book.ts';
import type { Kept } from '../../src/app/worker/kept.ts';
import type { Outcome } from '../../src/base/findings.ts';
import { memoryMeshStore } from '../../src/mesh/memory-mesh-store.ts';
import { summaryOf } from '../../src/workshop/book/book-summary.ts';
import type { ChapterName } from '../../src/workshop/book/book-text.ts';
import { type Build, newBuild } from '../../src/workshop/book/build-file.ts';
import type { Records } from '../../src/workshop/book/chapter.ts';
import { compareBooks } from '../../src/workshop/book/compare-books.ts';
import { runBook } from '../../src/workshop/book/graph.ts';
import { writeBook } from '../../src/workshop/book/write-book.ts';
import { testKernel } from './kernel.ts';
import { SMALL_HELM } from './small-books.ts';

/** `helm` and `helm-28`; the second prints coarser layers on a larger bed. */
export async function someBeside(): Promise<Beside> {
  const meshes = memoryMeshStore();
  const work = { seed: 1, tick: () => {}, meshes, solid: await testKernel() };
  const mesh = meshes.put(SMALL_HELM);
  // What both share is computed and drawn once.
  const known = new Map<string, Outcome<Records[ChapterName]>>();
  const made = new Map<string, unknown>();
  const kept: Kept = (key, make) => {
    if (!made.has(key)) made.set(key, make());
    return made.get(key) as ReturnType<typeof make>;
  };
  const side = (id: string, build: Build): BesideSide => {
    const results = runBook(build, { mesh }, work, {
      results: { get: (key) => known.get(key), put: (key, outcome) => void known.set(key, outcome) },
      hooks: { begun: () => undefined, known: () => undefined },
    });
    const text = writeBook(build, results, { findings: [], unit: 'millimetres' });
    return {
      id,
      name: build.name,
      version: 1,
      build,
      text,
      summary: summaryOf(results, text),
      drawings: drawBook(results, work, { kept }),
      trouble: null,
      live: true,
      computing: null,
    };
  };
  const usual = newBuild({ name: 'Keeper’s helm', file: 'keepers-helm.stl', sha256: 'a'.repeat(64) });
  const [machine] = usual.machines;
  // a bed on which it takes two pieces, and one on which it is printed whole
  const plain: Build = { ...usual, machines: [{ ...machine!, bedMm: [220, 220, 180] }] };
  const left = side('helm', plain);
  const right = side('helm-28', {
    ...plain,
    name: 'Keeper’s helm, coarser layers',
    machines: [{ ...machine!, bedMm: [300, 300, 400] }],
    print: { ...plain.print, layerMm: 0.28 },
  });
  const comparable = ({ name, build, text, summary }: BesideSide) => ({ name, build, text: text!, summary: summary! });
  return { left, right, comparison: compareBooks(comparable(left), comparable(right)) };
}
