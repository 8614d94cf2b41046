// What a thread of the crew does: takes shares of a run until there are none left, and hands each output back.
import { type MessagePort, workerData } from 'node:worker_threads';
import { invariant } from '../../base/invariant.ts';
import type { AnyShare } from '../../base/shares.ts';
import { Cancelled } from '../../base/work.ts';
import { NONE } from '../../mesh/mesh.ts';
import { type CrewBoard, isStopped, markFinished, markFraction, markLost, takeShare } from './crew-board.ts';
import { CONTROL_CANCEL } from './protocol.ts';

/** Data a thread of the crew starts with. */
export interface HandStart {
  readonly port: MessagePort;
  /** That of the engine: see CONTROL_CANCEL. */
  readonly control: SharedArrayBuffer;
}

/** One run, as it is sent to every thread of the crew. */
export interface CrewRun {
  readonly id: number;
  /** 1 is the caller's own thread. */
  readonly thread: number;
  readonly share: string;
  readonly board: CrewBoard;
  readonly common: unknown;
  readonly inputs: readonly unknown[];
  readonly seed: number;
}

export type HandedBack = { readonly run: number; readonly index: number } & (
  | { readonly kind: 'output'; readonly output: unknown }
  | { readonly kind: 'cancelled' }
  | { readonly kind: 'bug'; readonly message: string }
);

/** Serves the crew that started this thread with these shares; they go by their names. */
export function lendHand(shares: readonly AnyShare[]): void {
  const { port, control } = workerData as HandStart;
  const words = new Int32Array(control);
  let at: { readonly board: CrewBoard; readonly index: number } | null = null;
  // the caller sleeps and hears no event: what it must know stands on the board
  process.on('exit', () => {
    if (at !== null) markLost(at.board, at.index);
  });
  port.on('message', ({ board, thread, ...run }: CrewRun) => {
    for (let index = takeShare(board, thread); index !== NONE; index = takeShare(board, thread)) {
      at = { board, index };
      const tick = (fraction: number): void => {
        if (Atomics.load(words, CONTROL_CANCEL) === 1 || isStopped(board)) throw new Cancelled();
        markFraction(board, index, fraction);
      };
      try {
        const share = shares.find(({ name }) => name === run.share);
        invariant(share !== undefined, `the crew knows the share ${run.share}`);
        const output = share.run(run.common as never, run.inputs[index] as never, { tick, seed: run.seed });
        port.postMessage({ run: run.id, index, kind: 'output', output } satisfies HandedBack);
      } catch (error) {
        port.postMessage({ run: run.id, index, ...whyNot(error) } satisfies HandedBack);
      }
      markFinished(board, index);
      at = null;
    }
  });
}

function whyNot(error: unknown): { readonly kind: 'cancelled' } | { readonly kind: 'bug'; readonly message: string } {
  if (error instanceof Cancelled) return { kind: 'cancelled' };
  return { kind: 'bug', message: error instanceof Error ? (error.stack ?? error.message) : String(error) };
}
