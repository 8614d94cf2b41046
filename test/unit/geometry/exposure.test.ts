// Exposure computed in shares: any number of workers, the same bytes.
import { Worker } from 'node:worker_threads';
import { buildSync } from 'esbuild';
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { exposure } from '../../../src/geometry/exposure.ts';
import { sampleSurface } from '../../../src/geometry/surface-points.ts';
import { buildBoundingTree } from '../../../src/mesh/bounding-tree.ts';
import { bowl } from '../../../src/mesh/builders.ts';
import { NONE } from '../../../src/mesh/mesh.ts';

const mesh = bowl({ outerMm: 100, wallMm: 3 }, 24);
const at = sampleSurface(mesh, 600, 7);
const rule = { numRays: 24, liftMm: 1e-4 };
const upwards = (_x: number, _y: number, z: number): number => Math.max(0, z);

/** The program of a worker: the same sources, bundled; it builds its own tree. */
const program = buildSync({
  stdin: {
    contents: `
      import { parentPort, workerData } from 'node:worker_threads';
      import { exposure } from './src/geometry/exposure.ts';
      import { buildBoundingTree } from './src/mesh/bounding-tree.ts';
      const { mesh, at, rule, seed } = workerData;
      const weights = [(_x, _y, z) => Math.max(0, z)];
      parentPort.postMessage(exposure(buildBoundingTree(mesh), at, { tick() {}, seed }, { ...rule, weights }));
    `,
    resolveDir: process.cwd(),
  },
  bundle: true,
  write: false,
  platform: 'node',
  format: 'cjs',
}).outputFiles[0]!.text;

interface Answer {
  readonly open: Float64Array;
  readonly weighted: Float64Array;
}

function inWorker(from: number, to: number): Promise<Answer> {
  const workerData = { mesh, at, rule: { ...rule, from, to }, seed: QUIET_WORK.seed };
  return new Promise((resolve, reject) => {
    const worker = new Worker(program, { eval: true, workerData });
    worker.once('message', (answer: Answer) => {
      resolve(answer);
      void worker.terminate();
    });
    worker.once('error', reject);
  });
}

function bytesOf(answers: readonly Answer[]): string {
  return answers
    .flatMap(({ open }) => [...open])
    .concat(answers.flatMap(({ weighted }) => [...weighted]))
    .join(' ');
}

describe('exposure in shares', () => {
  const here = exposure(buildBoundingTree(mesh), at, QUIET_WORK, { ...rule, weights: [upwards] });

  it.each([1, 2, 4])('gives the same bytes on %i workers', async (count) => {
    const shares = Array.from({ length: count }, (_, i) =>
      inWorker(Math.floor((at.num * i) / count), Math.floor((at.num * (i + 1)) / count)),
    );
    expect(bytesOf(await Promise.all(shares))).toBe(bytesOf([here]));
  });

  it('gives other rays for another seed', () => {
    const other = exposure(buildBoundingTree(mesh), at, { ...QUIET_WORK, seed: 2 }, { ...rule, weights: [upwards] });
    expect(bytesOf([other])).not.toBe(bytesOf([here]));
  });

  it('tells what each ray meets, and then the same shares', () => {
    const hits = new Int32Array(at.num * rule.numRays);
    const told = exposure(buildBoundingTree(mesh), at, QUIET_WORK, { ...rule, weights: [upwards], hits });
    expect(bytesOf([told])).toBe(bytesOf([here]));
    for (let i = 0; i < at.num; i++) {
      const own = hits.subarray(i * rule.numRays, (i + 1) * rule.numRays);
      expect(own.filter((tri) => tri === NONE).length / rule.numRays).toBeCloseTo(here.open[i]!, 12);
    }
  });
});
