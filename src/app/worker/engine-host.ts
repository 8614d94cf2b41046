// The main thread's handle on the engine thread: one job at a time, cancel within half a second, watchdog on kernel calls.
import { Worker } from 'node:worker_threads';
import { type Refusal, refuse } from '../../base/findings.ts';
import { Cancelled } from '../../base/work.ts';
import type { ChapterText } from '../../workshop/book/book-text.ts';
import {
  type Answer,
  type BookJob,
  type ChapterNews,
  CONTROL_BEATS,
  CONTROL_CANCEL,
  CONTROL_IN_KERNEL,
  type DemoJob,
  type EngineStart,
  type Job,
  type ReadJob,
  type Report,
} from './protocol.ts';

export interface EngineHooks {
  progress?(chapter: string, fraction: number, doing: string): void;
  /** A chapter's result is known, and its text with what is known so far. */
  chapter?(news: ChapterNews, text: ChapterText): void;
  /** The model as it came, as a figure, before the first chapter; only for want: 'book', and only when the whole figure is not kept.
   *  Costs up to half a second of the job's time: leave it out when the reader already has a figure to look at. */
  draft?(figure: Uint8Array): void;
}

export interface EngineOptions {
  readonly cacheFolder: string | null;
  /** Most bytes that results and meshes may take there; {@link MOST_CACHE_BYTES} unless given. */
  readonly cacheBytes?: number;
  /** The engine thread's script and the folder of page assets; both made by the build. */
  readonly script: URL;
  readonly webAssets: string;
  /** A kernel call without an end after this long ends the thread. */
  readonly kernelLimitS: number;
}

export interface Engine {
  /** Resolves to the answer or a refusal; rejects with Cancelled, or with an Error for a bug. Jobs run one after another. */
  run(job: Omit<BookJob, 'id' | 'draft'>, hooks?: EngineHooks): Promise<Answer | Refusal>;
  /** Whether the model can be read; null when it can. Its mesh is kept for the jobs that follow. */
  read(job: Omit<ReadJob, 'id' | 'want'>, hooks?: EngineHooks): Promise<Refusal | null>;
  /** The bytes of a demo shape's STL file. */
  makeDemo(job: Omit<DemoJob, 'id' | 'want'>, hooks?: EngineHooks): Promise<Uint8Array>;
  /** Stops the running job; the promise rejects with Cancelled within about half a second. */
  cancel(): void;
  close(): Promise<void>;
}

/** A plan of a million triangles leaves some 400 MB of meshes and results. */
export const MOST_CACHE_BYTES = 8e9;

/** How long a cancelled job may take to reach its next tick before its thread is ended. */
const GRACE_MS = 400;

type Result = Answer | Refusal | Uint8Array | null;

interface Running {
  readonly job: Job;
  readonly hooks: EngineHooks;
  readonly resolve: (answer: Result) => void;
  readonly reject: (error: Error) => void;
}

export function openEngine(options: EngineOptions): Engine {
  const control = new Int32Array(new SharedArrayBuffer(16));
  let worker: Worker | undefined;
  let running: Running | undefined;
  let queue: Promise<unknown> = Promise.resolve();
  let lastId = 0;

  const settle = (finish: (run: Running) => void): void => {
    const run = running;
    running = undefined;
    if (run !== undefined) finish(run);
  };
  const endThread = (finish: (run: Running) => void): void => {
    const ended = worker;
    worker = undefined;
    ended?.removeAllListeners();
    ended?.on('error', () => {});
    void ended?.terminate();
    settle(finish);
  };
  const hear = (report: Report): void => {
    if (running === undefined || report.job !== running.job.id) return;
    if (report.type === 'progress') running.hooks.progress?.(report.chapter, report.fraction, report.doing);
    else if (report.type === 'chapter') running.hooks.chapter?.(report.news, report.text);
    else if (report.type === 'draft') running.hooks.draft?.(report.figure);
    else if (report.type === 'answer') settle((run) => run.resolve(report.answer));
    else if (report.type === 'made') settle((run) => run.resolve(report.model));
    else if (report.type === 'read') settle((run) => run.resolve(null));
    else if (report.type === 'refused') settle((run) => run.resolve(report.refusal));
    else if (report.type === 'cancelled') settle((run) => run.reject(new Cancelled()));
    else settle((run) => run.reject(new Error(report.message)));
  };
  const thread = (): Worker => {
    if (worker !== undefined) return worker;
    const start: EngineStart = {
      cacheFolder: options.cacheFolder,
      cacheBytes: options.cacheBytes ?? MOST_CACHE_BYTES,
      control: control.buffer as SharedArrayBuffer,
      webAssets: options.webAssets,
    };
    const fresh = new Worker(options.script, { workerData: start, resourceLimits: { maxOldGenerationSizeMb: 6144 } });
    fresh.on('message', hear);
    fresh.on('error', (error) => {
      if (worker === fresh) endThread((run) => run.reject(error));
    });
    fresh.unref();
    worker = fresh;
    return fresh;
  };

  const runNow = (job: Job, hooks: EngineHooks): Promise<Result> =>
    new Promise((resolve, reject) => {
      Atomics.store(control, CONTROL_CANCEL, 0);
      Atomics.store(control, CONTROL_IN_KERNEL, 0);
      running = { job, hooks, resolve, reject };
      const watchdog = watchKernel(control, options.kernelLimitS, () =>
        endThread((run) =>
          run.resolve(
            refuse(
              'SOLID_NO_ANSWER',
              `The solid kernel gave no answer within ${options.kernelLimitS} s and was stopped; nothing was written.`,
            ),
          ),
        ),
      );
      const stop = (): void => clearInterval(watchdog);
      running = {
        job,
        hooks,
        resolve: (answer) => {
          stop();
          resolve(answer);
        },
        reject: (error) => {
          stop();
          reject(error);
        },
      };
      thread().postMessage(job);
    });

  const enqueue = (job: Job, hooks: EngineHooks): Promise<Result> => {
    const next = queue.then(() => runNow(job, hooks));
    queue = next.catch(() => {});
    return next;
  };

  return {
    run: (job, hooks = {}) =>
      enqueue({ ...job, draft: hooks.draft !== undefined, id: ++lastId }, hooks) as Promise<Answer | Refusal>,
    read: (job, hooks = {}) => enqueue({ ...job, want: 'read', id: ++lastId }, hooks) as Promise<Refusal | null>,
    makeDemo: (job, hooks = {}) => enqueue({ ...job, want: 'demo', id: ++lastId }, hooks) as Promise<Uint8Array>,
    cancel() {
      if (running === undefined) return;
      const id = running.job.id;
      Atomics.store(control, CONTROL_CANCEL, 1);
      setTimeout(() => {
        if (running?.job.id === id) endThread((run) => run.reject(new Cancelled()));
      }, GRACE_MS);
    },
    async close() {
      const ended = worker;
      worker = undefined;
      settle((run) => run.reject(new Cancelled()));
      await ended?.terminate();
    },
  };
}

/** Calls `onStuck` when a kernel call has run for `limitS` without a new beat. Keeps the process alive while a job runs. */
function watchKernel(control: Int32Array, limitS: number, onStuck: () => void): NodeJS.Timeout {
  let beats = -1;
  let since = performance.now();
  return setInterval(() => {
    const now = Atomics.load(control, CONTROL_BEATS);
    if (now !== beats || Atomics.load(control, CONTROL_IN_KERNEL) === 0) {
      beats = now;
      since = performance.now();
    } else if (performance.now() - since > limitS * 1000) {
      onStuck();
    }
  }, 250);
}
