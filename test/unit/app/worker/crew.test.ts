// The crew on real threads: the same answer with any number of them, and no trouble that is not told.
import { afterAll, describe, expect, it } from 'vitest';
import { crewSize } from '../../../../src/app/worker/crew.ts';
import { beatsOf, newBoard, takeShare } from '../../../../src/app/worker/crew-board.ts';
import { CONTROL_CANCEL } from '../../../../src/app/worker/protocol.ts';
import { withSharedArrays } from '../../../../src/app/worker/shared-arrays.ts';
import { evenRuns, runShares } from '../../../../src/base/shares.ts';
import { Cancelled, type Crew, QUIET_WORK, type Work } from '../../../../src/base/work.ts';
import { NONE } from '../../../../src/mesh/mesh.ts';
import { builtCrew } from '../../../support/crew.ts';
import {
  dyingShare,
  idleShare,
  paddedSums,
  slowShare,
  throwingShare,
  twinShare,
} from '../../../support/crew-shares.ts';

const built = builtCrew('test/support/crew-shares.ts');
afterAll(() => built.close());

const withCrew = (crew: Crew, tick: Work['tick'] = () => {}): Work => ({ seed: 7, tick, crew });

describe('a crew', () => {
  it.each([0, 1, 3])('gives what one thread gives, in the order of the inputs, with %i more threads', (numThreads) => {
    const crew = built.open(numThreads);
    const numbers = Float64Array.from({ length: 40_000 }, (_, i) => Math.sin(i) / 3);
    const ranges = evenRuns(numbers.length, 11);
    const alone = runShares({ ...QUIET_WORK, seed: 7 }, paddedSums, { numbers }, ranges);
    for (let again = 0; again < 3; again++)
      expect(runShares(withCrew(crew), paddedSums, { numbers }, ranges)).toEqual(alone);
  });

  it('has other threads take part', () => {
    const crew = built.open(1);
    const tids = () => new Set(runShares(withCrew(crew), slowShare, 200, [0, 1, 2, 3, 4, 5])).size;
    expect(Math.max(tids(), tids())).toBe(2);
  });

  it('keeps one object one within an input and an output', () => {
    const twins = runShares(
      withCrew(built.open(1)),
      twinShare,
      null,
      [0, 1, 2, 3].map(() => sameTwice()),
    );
    for (const { first, second, isOne } of twins) {
      expect(isOne).toBe(true);
      expect(first).toBe(second);
    }
  });

  it('tells how far all are, never going back, and calls often while it waits', () => {
    const told: number[] = [];
    runShares(
      withCrew(built.open(1), (fraction) => told.push(fraction)),
      slowShare,
      150,
      [0, 1, 2],
    );
    expect(told.length).toBeGreaterThan(10);
    expect(told).toEqual([...told].sort((a, b) => a - b));
    expect(told.at(-1)!).toBeLessThanOrEqual(1);
  });

  it('stops when the caller is cancelled, and runs the next', () => {
    const crew = built.open(2);
    let left = 12;
    const tick = () => {
      if (left-- === 0) throw new Cancelled();
    };
    expect(() => runShares(withCrew(crew, tick), idleShare, null, [0, 1, 2])).toThrow(Cancelled);
    expect(runShares(withCrew(crew), twinShare, null, [sameTwice(), sameTwice()])).toHaveLength(2);
  });

  it('stops when the engine is told to', () => {
    const control = new SharedArrayBuffer(16);
    const crew = built.open(1, { control });
    const words = new Int32Array(control);
    let left = 12;
    const tick = () => {
      if (left-- === 0) Atomics.store(words, CONTROL_CANCEL, 1);
      if (left < -3) throw new Cancelled();
    };
    expect(() => runShares(withCrew(crew, tick), idleShare, null, [0, 1])).toThrow(Cancelled);
    Atomics.store(words, CONTROL_CANCEL, 0);
    expect(runShares(withCrew(crew), twinShare, null, [sameTwice(), sameTwice()])).toHaveLength(2);
  });

  it.each([0, 1, 2])('throws what a share throws, wherever it runs: share %i', (which) => {
    const crew = built.open(2);
    expect(() => runShares(withCrew(crew), throwingShare, which, [0, 1, 2])).toThrow(`share ${which} met a bug`);
    expect(runShares(withCrew(crew), twinShare, null, [sameTwice(), sameTwice()])).toHaveLength(2);
  });

  it('says that a thread ended, and has new ones for the next run', () => {
    const crew = built.open(1);
    expect(() => runShares(withCrew(crew), dyingShare, 'ends', [0, 1, 2, 3])).toThrow(
      'A thread of the crew ended while it was at "dying"',
    );
    const tids = runShares(withCrew(crew), slowShare, 200, [0, 1, 2, 3, 4, 5]);
    expect(new Set(tids).size).toBe(2);
  });

  it('takes a thread that gives no sign of life for dead', () => {
    const crew = built.open(1, { silenceS: 0.5 });
    expect(() => runShares(withCrew(crew), dyingShare, 'sleeps', [0, 1, 2, 3])).toThrow(
      'A thread of the crew gave no sign of life for 0.5 s while it was at "dying"',
    );
    expect(runShares(withCrew(crew), twinShare, null, [sameTwice(), sameTwice()])).toHaveLength(2);
  });

  it('has a thread less than there are processors, three at most', () => {
    expect([1, 2, 3, 4, 16].map(crewSize)).toEqual([0, 1, 2, 3, 3]);
  });
});

describe('the board of a run', () => {
  it('gives every share out once', () => {
    const board = newBoard(3);
    expect([1, 2, 1, 2].map((thread) => takeShare(board, thread))).toEqual([0, 1, 2, NONE]);
    expect(beatsOf(board)).toBe(0);
  });
});

describe('arrays over shared memory', () => {
  it('holds what it was given, large arrays shared, one object still one', () => {
    const large = Float64Array.from({ length: 10_000 }, (_, i) => i);
    const map = new Map([[large, 1]]);
    const given = {
      large,
      again: large,
      part: large.subarray(5, 9_500),
      small: new Uint8Array([1, 2]),
      map,
      none: null,
    };
    const out = withSharedArrays({ ...given, list: [given.small, large], numbers: [1, 2] });
    expect(out).toEqual({ ...given, list: [given.small, large], numbers: [1, 2] });
    expect(out.large.buffer).toBeInstanceOf(SharedArrayBuffer);
    expect(out.part.byteLength).toBe(out.part.buffer.byteLength);
    expect(out.again).toBe(out.large);
    expect(out.list[1]).toBe(out.large);
    expect([...out.map.keys()][0]).toBe(out.large);
    expect(out.small.buffer).toBeInstanceOf(ArrayBuffer);
  });
});

function sameTwice() {
  const one = { at: [1, 2, 3] };
  return { first: one, second: one };
}
