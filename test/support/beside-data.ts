// Two real books of one small model, at two layer heights and on two beds, with their drawings and what differs.
import type { Beside, BesideSide } from '../../src/app/api/beside.ts';
import { drawBook } from '../../src/app/worker/draw-book.ts';
import { memoryMeshStore } from '../../src/mesh/memory-mesh-store.ts';
import { summaryOf } from '../../src/workshop/book/book-summary.ts';
import { type Build, newBuild } from '../../src/workshop/book/build-file.ts';
import { compareBooks } from '../../src/workshop/book/compare-books.ts';
import { runBook } from '../../src/workshop/book/graph.ts';
import { writeBook } from '../../src/workshop/book/write-book.ts';
import { testKernel } from './kernel.ts';
import { quickHelm } from './quick-helm.ts';

/** `helm` and `helm-28`; the second prints coarser layers on a larger bed. */
export async function someBeside(): Promise<Beside> {
  const meshes = memoryMeshStore();
  const work = { seed: 1, tick: () => {}, meshes, solid: await testKernel() };
  const mesh = meshes.put(quickHelm());
  const side = (id: string, build: Build): BesideSide => {
    const results = runBook(build, { mesh }, work, {
      results: { get: () => undefined, put: () => undefined },
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
      drawings: drawBook(results, work),
      trouble: null,
      live: true,
      computing: null,
    };
  };
  const plain = newBuild({ name: 'Keeper’s helm', file: 'keepers-helm.stl', sha256: 'a'.repeat(64) });
  const left = side('helm', plain);
  const [machine] = plain.machines;
  const right = side('helm-28', {
    ...plain,
    name: 'Keeper’s helm, coarser layers',
    machines: [{ ...machine!, bedMm: [300, 300, 400] }],
    print: { ...plain.print, layerMm: 0.28 },
  });
  const comparable = ({ name, build, text, summary }: BesideSide) => ({ name, build, text: text!, summary: summary! });
  return { left, right, comparison: compareBooks(comparable(left), comparable(right)) };
}
