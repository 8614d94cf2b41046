// The engine's crew: a few more threads that take shares of a computation while the engine, which waits for the answer, takes shares too.
import { MessageChannel, type MessagePort, receiveMessageOnPort, Worker } from 'node:worker_threads';
import { Cancelled, type Crew, type Work } from '../../base/work.ts';
import { NONE } from '../../mesh/mesh.ts';
import {
  beatsOf,
  type CrewBoard,
  fractionOf,
  isFinished,
  isLost,
  markFinished,
  markFraction,
  newBoard,
  newsOf,
  stopAll,
  takeShare,
  waitForNews,
} from './crew-board.ts';
import type { CrewRun, HandedBack, HandStart } from './crew-hand.ts';
import { withSharedArrays } from './shared-arrays.ts';

export interface CrewOptions {
  /** The script of a thread: calls lendHand. */
  readonly script: URL;
  /** Threads beside the caller's own. */
  readonly numThreads: number;
  /** That of the engine: see CONTROL_CANCEL. */
  readonly control: SharedArrayBuffer;
  /** A thread without a tick for so long is taken for dead. */
  readonly silenceS?: number;
}

export interface OpenCrew extends Crew {
  close(): void;
}

/** Threads that a crew has on a machine with so many processors: more than three have nothing to do, and each keeps some memory. */
export function crewSize(processors: number): number {
  return Math.min(3, Math.max(0, processors - 1));
}

/** Shares are plain data and small beside flat arrays, which lie outside this heap. */
const HEAP_MB = 2048;
const SILENCE_S = 20;
/** Between two looks at the work while others are still at theirs: cancelling is noticed by then. */
const LOOK_MS = 20;

interface Hand {
  readonly worker: Worker;
  readonly port: MessagePort;
}

/** Threads start with the first run and stay. The caller's own thread takes shares like the others, so that a thread which is late only
 *  leaves more to it. When a share throws, or the work is cancelled, the others stop at their next tick and what they made is dropped.
 *  A thread that ends while it is at a share, or gives no sign of life for `silenceS`, is a bug: the run throws, and the next has new threads. */
export function openCrew(options: CrewOptions): OpenCrew {
  const { silenceS = SILENCE_S } = options;
  let hands: Hand[] = [];
  let failure: Error | null = null;
  let lastRun = 0;

  const dismiss = (): void => {
    const dismissed = hands;
    hands = [];
    failure = null;
    for (const { worker } of dismissed) void worker.terminate();
  };
  const start = (): Hand => {
    const { port1, port2 } = new MessageChannel();
    const workerData: HandStart = { port: port2, control: options.control };
    const worker = new Worker(options.script, {
      workerData,
      transferList: [port2],
      resourceLimits: { maxOldGenerationSizeMb: HEAP_MB },
    });
    const hand = { worker, port: port1 };
    const fail = (error: Error): void => {
      if (hands.includes(hand)) failure ??= error;
    };
    worker.on('error', fail);
    worker.on('exit', (code) => fail(new Error(`a thread of the crew ended with code ${code}`)));
    worker.unref();
    return hand;
  };
  const readyHands = (num: number): readonly Hand[] => {
    const failed = failure;
    if (failed !== null) {
      dismiss();
      throw failed;
    }
    while (hands.length < num) hands.push(start());
    return hands.slice(0, num);
  };

  return {
    run(share, common, inputs, work) {
      const { crew: _, ...alone } = work;
      const board = newBoard(inputs.length);
      const others = readyHands(Math.min(options.numThreads, inputs.length - 1));
      const id = ++lastRun;
      const outputs: unknown[] = new Array(inputs.length);
      if (others.length > 0) {
        const sent = withSharedArrays({ common, inputs });
        for (const [i, { port }] of others.entries()) {
          const run: CrewRun = { ...sent, id, thread: i + 2, share: share.name, board, seed: work.seed };
          port.postMessage(run);
        }
      }
      try {
        const said = { doing: undefined as string | undefined };
        for (let i = takeShare(board, 1); i !== NONE; i = takeShare(board, 1)) {
          outputs[i] = share.run(common, inputs[i]!, shareOfWork(alone, { board, index: i, said }));
          markFinished(board, i);
        }
        const tick = (): void => work.tick(fractionOf(board), said.doing);
        awaitOthers(board, { others, id, outputs, name: share.name, silenceS, tick, onLost: dismiss });
      } catch (error) {
        stopAll(board);
        throw error;
      }
      return outputs as ReturnType<typeof share.run>[];
    },
    close: dismiss,
  };
}

/** Work on one share in the caller's own thread: it tells how far all are. */
function shareOfWork(
  work: Work,
  at: { readonly board: CrewBoard; readonly index: number; readonly said: { doing: string | undefined } },
): Work {
  return {
    ...work,
    tick: (fraction, doing) => {
      markFraction(at.board, at.index, fraction);
      at.said.doing = doing ?? at.said.doing;
      work.tick(fractionOf(at.board), doing);
    },
  };
}

interface Awaited {
  readonly others: readonly Hand[];
  readonly id: number;
  readonly outputs: unknown[];
  readonly name: string;
  readonly silenceS: number;
  readonly tick: () => void;
  readonly onLost: () => void;
}

function awaitOthers(board: CrewBoard, by: Awaited): void {
  let beats = -1;
  let silentMs = 0;
  for (;;) {
    const news = newsOf(board);
    const left = unfinished(board);
    gather(by);
    if (left.length === 0) return;
    by.tick();
    if (left.some((index) => isLost(board, index)))
      lose(`A thread of the crew ended while it was at "${by.name}".`, by);
    waitForNews(board, news, LOOK_MS);
    const now = beatsOf(board) + newsOf(board);
    silentMs = now === beats ? silentMs + LOOK_MS : 0;
    beats = now;
    if (silentMs > by.silenceS * 1000)
      lose(`A thread of the crew gave no sign of life for ${by.silenceS} s while it was at "${by.name}".`, by);
  }
}

function lose(message: string, { onLost }: Awaited): never {
  onLost();
  throw new Error(message);
}

function unfinished(board: CrewBoard): number[] {
  const out: number[] = [];
  for (let i = 0; i < board.num; i++) if (!isFinished(board, i)) out.push(i);
  return out;
}

/** Takes in what has come; what belongs to an earlier run is dropped. */
function gather({ others, id, outputs }: Awaited): void {
  for (const { port } of others) {
    for (let got = receiveMessageOnPort(port); got !== undefined; got = receiveMessageOnPort(port)) {
      const back = got.message as HandedBack;
      if (back.run !== id) continue;
      if (back.kind === 'cancelled') throw new Cancelled();
      if (back.kind === 'bug') throw new Error(back.message);
      outputs[back.index] = back.output;
    }
  }
}
