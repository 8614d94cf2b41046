// The engine thread: loads the solid kernel once, then computes one job after another.
import { availableParallelism } from 'node:os';
import { parentPort, workerData } from 'node:worker_threads';
import openKernelModule from 'manifold-3d';
import { invariant } from '../../base/invariant.ts';
import { Cancelled } from '../../base/work.ts';
import { openSolidKernel, type SolidKernel } from '../../geometry/solid/solid.ts';
import { openAnswerShelf } from './answer-shelf.ts';
import { crewSize, openCrew } from './crew.ts';
import { openMeshStore, openRecords, openShelf } from './engine-shelves.ts';
import { type EngineMeans, makeDemo, runJob } from './job.ts';
import { kernelVersion } from './kernel-version.ts';
import {
  CONTROL_BEATS,
  CONTROL_CANCEL,
  CONTROL_IN_KERNEL,
  type EngineStart,
  type Job,
  type Report,
} from './protocol.ts';
import { readSource } from './read-source.ts';

const port = parentPort;
invariant(port !== null, 'the engine runs in a worker thread');
const start = workerData as EngineStart;
const control = new Int32Array(start.control);
const shelf = openShelf(start.cacheFolder, start.cacheBytes);
const answers =
  start.cacheFolder === null
    ? null
    : openAnswerShelf({ cacheFolder: start.cacheFolder, script: new URL(import.meta.url) });
const stores = { meshes: openMeshStore(shelf), records: openRecords(shelf) };
const numHands = crewSize(availableParallelism());
const crew =
  numHands === 0
    ? {}
    : {
        crew: openCrew({
          script: new URL('./crew-thread.js', import.meta.url),
          numThreads: numHands,
          control: start.control,
        }),
      };
const kernel = loadKernel();

port.on('message', (job: Job) => {
  void answer(job);
});

async function answer(job: Job): Promise<void> {
  const report = (message: Report): void => port!.postMessage(message);
  try {
    if (job.want === 'read') {
      const tick = ticker(job, report);
      const outcome = readSource(job, stores, {
        seed: 1,
        tick: (fraction, doing) => tick('reading', fraction, doing ?? ''),
      });
      report(outcome.ok ? { type: 'read', job: job.id } : { type: 'refused', job: job.id, refusal: outcome });
      return;
    }
    const means: EngineMeans = {
      ...stores,
      ...crew,
      solid: await kernel,
      tick: ticker(job, report),
      webAssets: start.webAssets,
    };
    if (job.want === 'demo') {
      report({ type: 'made', job: job.id, model: makeDemo(job, means) });
      return;
    }
    const outcome = runJob(job, means, {
      chapter: (news, text) => report({ type: 'chapter', job: job.id, news, text }),
      draft: (figure) => report({ type: 'draft', job: job.id, figure }),
    });
    if (outcome.ok && job.want === 'book') answers?.put(job.build, outcome.value);
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
