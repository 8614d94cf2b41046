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
}

/** The part of `work` between two fractions, as a work of its own running from 0 to 1. */
export function partOfWork<W extends Work>(work: W, from: number, to: number): W {
  return { ...work, tick: (fraction: number, doing?: string) => work.tick(from + (to - from) * fraction, doing) };
}

/** Work that nobody watches or cancels: tests, benchmarks, one-off calls. */
export const QUIET_WORK: Work = { tick: () => {}, seed: 1 };
