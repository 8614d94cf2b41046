// The engine thread: loads the solid kernel once, then computes one job after another.
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parentPort, workerData } from 'node:worker_threads';
import openKernelModule from 'manifold-3d';
import { invariant } from '../../base/invariant.ts';
import { Cancelled } from '../../base/work.ts';
import { openSolidKernel, type SolidKernel } from '../../geometry/solid/solid.ts';
import { openMeshStore, openRecords, openShelf } from './engine-shelves.ts';
import { type EngineMeans, makeDemo, runJob } from './job.ts';
import {
  CONTROL_BEATS,
  CONTROL_CANCEL,
  CONTROL_IN_KERNEL,
  type EngineStart,
  type Job,
  type Report,
} from './protocol.ts';

const port = parentPort;
invariant(port !== null, 'the engine runs in a worker thread');
const start = workerData as EngineStart;
const control = new Int32Array(start.control);
const shelf = openShelf(start.cacheFolder);
const stores = { meshes: openMeshStore(shelf), records: openRecords(shelf) };
const kernel = loadKernel();

port.on('message', (job: Job) => {
  void answer(job);
});

async function answer(job: Job): Promise<void> {
  const report = (message: Report): void => port!.postMessage(message);
  try {
    const means: EngineMeans = {
      ...stores,
      solid: await kernel,
      tick: ticker(job, report),
      webAssets: start.webAssets,
    };
    if (job.want === 'demo') {
      report({ type: 'made', job: job.id, model: makeDemo(job, means) });
      return;
    }
    const outcome = runJob(job, means, (news) => report({ type: 'chapter', job: job.id, news }));
    if (outcome.ok) report({ type: 'answer', job: job.id, answer: outcome.value });
    else report({ type: 'refused', job: job.id, refusal: outcome });
  } catch (error) {
    if (error instanceof Cancelled) report({ type: 'cancelled', job: job.id });
    else
      report({
        type: 'bug',
        job: job.id,
        message: error instanceof Error ? (error.stack ?? error.message) : String(error),
      });
  }
}

/** Throws Cancelled when asked to; passes progress on at most every 100 ms. */
function ticker(job: Job, report: (message: Report) => void): EngineMeans['tick'] {
  let last = 0;
  return (chapter, fraction, doing) => {
    Atomics.add(control, CONTROL_BEATS, 1);
    if (Atomics.load(control, CONTROL_CANCEL) === 1) throw new Cancelled();
    const now = performance.now();
    if (now - last < 100) return;
    last = now;
    report({ type: 'progress', job: job.id, chapter, fraction, doing });
  };
}

async function loadKernel(): Promise<SolidKernel> {
  const module = await openKernelModule();
  module.setup();
  return underWatch(openSolidKernel(module, kernelVersion()));
}

/** Marks every kernel call, so that the main thread can tell when one does not return. */
function underWatch(solid: SolidKernel): SolidKernel {
  const watched = Object.entries(solid).map(([name, member]) => {
    if (typeof member !== 'function') return [name, member];
    const call = (...args: unknown[]): unknown => {
      Atomics.add(control, CONTROL_BEATS, 1);
      Atomics.store(control, CONTROL_IN_KERNEL, 1);
      try {
        return (member as (...args: unknown[]) => unknown)(...args);
      } finally {
        Atomics.store(control, CONTROL_IN_KERNEL, 0);
      }
    };
    return [name, call];
  });
  return Object.fromEntries(watched) as SolidKernel;
}

/** The version is part of every fingerprint: another kernel may cut another way. */
function kernelVersion(): string {
  const entry = fileURLToPath(import.meta.resolve('manifold-3d'));
  const { version } = JSON.parse(readFileSync(join(dirname(entry), 'package.json'), 'utf8')) as { version: string };
  return version;
}
