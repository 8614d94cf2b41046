// Shares that try a crew: they sum, sleep, throw and die. Bundled by itself, this is the program of a thread.
import { isMainThread, parentPort, threadId, workerData } from 'node:worker_threads';
import { lendHand } from '../../src/app/worker/crew-hand.ts';
import type { AnyShare } from '../../src/base/shares.ts';
import type { Share, Work } from '../../src/base/work.ts';

const pause = new Int32Array(new SharedArrayBuffer(4));

function sleep(ms: number, work: Work): void {
  const end = performance.now() + ms;
  for (let now = performance.now(); now < end; now = performance.now()) {
    work.tick(1 - (end - now) / ms, 'sleeping');
    Atomics.wait(pause, 0, 0, Math.min(5, end - now));
  }
}

interface Range {
  readonly from: number;
  readonly to: number;
}

/** Sums with the seed, NaN and -0 among what is answered. */
export const paddedSums: Share<{ readonly numbers: Float64Array }, Range, Float64Array> = {
  name: 'padded sums',
  run({ numbers }, { from, to }, { seed }) {
    let sum = seed;
    for (let i = from; i < to; i++) sum += numbers[i]!;
    return Float64Array.of(sum, Number.NaN, -0, from);
  },
};

/** In which thread it was. common: ms. */
export const slowShare: Share<number, number, number> = {
  name: 'slow',
  run(ms, _, work) {
    sleep(ms, work);
    return threadId;
  },
};

interface Twins {
  readonly first: object;
  readonly second: object;
}

export const twinShare: Share<null, Twins, Twins & { readonly isOne: boolean }> = {
  name: 'twins',
  run: (_, { first, second }) => ({ first, second, isOne: first === second }),
};

export const idleShare: Share<null, number, number> = {
  name: 'idle',
  run(_, input, work) {
    sleep(60_000, work);
    return input;
  },
};

/** common: the input that throws. */
export const throwingShare: Share<number, number, number> = {
  name: 'throwing',
  run(which, input, work) {
    sleep(60, work);
    if (input === which) throw new Error(`share ${input} met a bug`);
    return input;
  },
};

/** In a thread of the crew it ends the thread, or falls asleep without a word; the caller's own thread only takes its time. */
export const dyingShare: Share<'ends' | 'sleeps', number, number> = {
  name: 'dying',
  run(how, input, work) {
    if (!isCrewThread()) sleep(400, work);
    else if (how === 'ends') process.exit(3);
    else Atomics.wait(pause, 0, 0, 60_000);
    return input;
  },
};

/** Tests too may run in worker threads; those of the crew are told where to hand back. */
function isCrewThread(): boolean {
  return !isMainThread && parentPort !== null && workerData?.port !== undefined && workerData?.control !== undefined;
}

if (isCrewThread()) {
  const shares: readonly AnyShare[] = [paddedSums, slowShare, twinShare, idleShare, throwingShare, dyingShare];
  lendHand(shares);
}
