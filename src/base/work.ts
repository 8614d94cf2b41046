// What long work needs from outside: a way to say how far it is and to be told to stop.

/** Thrown by `tick` when the person has cancelled; caught once, where the work was started. */
export class Cancelled extends Error {
  constructor() {
    super('cancelled');
    this.name = 'Cancelled';
  }
}

/** Handed down through every long function. `tick` takes a fraction in [0, 1] of the caller's own part, must be called
 *  at least every 50 ms of work, costs next to nothing, and throws {@link Cancelled}. */
export interface Work {
  tick(fraction: number, doing?: string): void;
  readonly seed: number;
  /** Threads that take shares of a computation; absent where there are none, and then everything runs in the caller's. */
  readonly crew?: Crew;
}

/** A pure function whose independent calls may run on other threads: the answer depends on its inputs and the seed alone, wherever it runs.
 *  What goes in and comes out is plain records, arrays, maps and flat arrays (structured clone keeps object identity within one call
 *  only). It must not write to what goes in: flat arrays are the same memory for every thread. */
export interface Share<Common, Input, Output> {
  /** By which another thread finds it; one for each in the whole program. */
  readonly name: string;
  run(common: Common, input: Input, work: Work): Output;
}

/** Runs shares on several threads, see `runShares`. Throws Cancelled when the work is cancelled, and what a share throws. */
export interface Crew {
  run<Common, Input, Output>(
    share: Share<Common, Input, Output>,
    common: Common,
    inputs: readonly Input[],
    work: Work,
  ): Output[];
}

/** The part of `work` between two fractions, as a work of its own running from 0 to 1. */
export function partOfWork<W extends Work>(work: W, from: number, to: number): W {
  return { ...work, tick: (fraction: number, doing?: string) => work.tick(from + (to - from) * fraction, doing) };
}

/** Work that nobody watches or cancels: tests, benchmarks, one-off calls. */
export const QUIET_WORK: Work = { tick: () => {}, seed: 1 };
