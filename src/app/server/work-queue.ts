// The order in which books are computed: what somebody waits for first, then what somebody looks at, then the rest.
import type { Refusal } from '../../base/findings.ts';
import { Cancelled } from '../../base/work.ts';
import type { Engine, EngineHooks } from '../worker/engine-host.ts';
import type { Answer, BookJob } from '../worker/protocol.ts';

/** Nobody looks; somebody looks; somebody waits for a download. */
export const URGENCY = { idle: 0, read: 1, awaited: 2 } as const;

export interface Task {
  /** One task of a key waits or runs at a time. */
  readonly key: string;
  readonly job: Omit<BookJob, 'id' | 'draft'>;
  readonly hooks: EngineHooks;
  /** Asked whenever there is a choice, as readers come and go. */
  urgency(): number;
}

export interface WorkQueue {
  /** Rejects with Cancelled when it is dropped. A task that nobody looks at makes way for one that somebody does, and goes on later. */
  run(task: Task): Promise<Answer | Refusal>;
  /** Takes the task of that key out, running or waiting. */
  drop(key: string): void;
  /** Urgencies have changed. */
  reconsider(): void;
  /** Drops everything, and whatever comes later. */
  close(): void;
}

interface Entry {
  readonly task: Task;
  readonly resolve: (answer: Answer | Refusal) => void;
  readonly reject: (error: unknown) => void;
  /** Why it was stopped while it ran. */
  stopped: 'made way' | 'dropped' | null;
}

export function openWorkQueue(engine: Pick<Engine, 'run' | 'cancel'>): WorkQueue {
  let waiting: Entry[] = [];
  let running: Entry | null = null;
  let closed = false;

  const pump = (): void => {
    if (running !== null || waiting.length === 0) return;
    const next = mostUrgent(waiting);
    waiting = waiting.filter((entry) => entry !== next);
    running = next;
    next.stopped = null;
    void engine
      .run(next.task.job, hooksOf(next))
      .then(next.resolve, (error: unknown) => {
        if (next.stopped === 'made way' && error instanceof Cancelled) waiting.unshift(next);
        else next.reject(error);
      })
      .finally(() => {
        running = null;
        pump();
      });
  };

  const makeWay = (): void => {
    if (running === null || running.stopped !== null || waiting.length === 0) return;
    if (running.task.urgency() > URGENCY.idle || mostUrgent(waiting).task.urgency() === URGENCY.idle) return;
    running.stopped = 'made way';
    engine.cancel();
  };

  const drop = (isMeant: (entry: Entry) => boolean): void => {
    const dropped = waiting.filter(isMeant);
    waiting = waiting.filter((entry) => !isMeant(entry));
    for (const entry of dropped) entry.reject(new Cancelled());
    if (running === null || !isMeant(running) || running.stopped === 'dropped') return;
    running.stopped = 'dropped';
    running.reject(new Cancelled());
    engine.cancel();
  };

  return {
    run: (task) =>
      new Promise((resolve, reject) => {
        if (closed) {
          reject(new Cancelled());
          return;
        }
        waiting.push({ task, resolve, reject, stopped: null });
        makeWay();
        pump();
      }),
    drop: (key) => drop((entry) => entry.task.key === key),
    reconsider: makeWay,
    close() {
      closed = true;
      drop(() => true);
    },
  };
}

/** The first of those with the highest urgency. */
function mostUrgent(entries: readonly Entry[]): Entry {
  return entries.reduce((best, entry) => (entry.task.urgency() > best.task.urgency() ? entry : best));
}

/** What a stopped job still says is not passed on. A hook that is not there costs the engine nothing. */
function hooksOf(entry: Entry): EngineHooks {
  const { progress, chapter, draft } = entry.task.hooks;
  const told = <Args extends readonly unknown[]>(hook: (...news: Args) => void) => {
    return (...news: Args): void => {
      if (entry.stopped === null) hook(...news);
    };
  };
  return {
    ...(progress === undefined ? {} : { progress: told(progress) }),
    ...(chapter === undefined ? {} : { chapter: told(chapter) }),
    ...(draft === undefined ? {} : { draft: told(draft) }),
  };
}
