// The numbers that the threads of a crew share during one run: who is at which share, how far it is, and whether to stop.
import { NONE } from '../../mesh/mesh.ts';

/** Shared memory of one run; every run has its own, so that a thread late from an earlier one cannot disturb. */
export interface CrewBoard {
  readonly words: Int32Array<SharedArrayBuffer>;
  readonly num: number;
}

/** 1 asks all to stop at their next tick. */
const STOP = 0;
/** Raised whenever a share is finished or lost; the caller waits on it. */
const NEWS = 1;
/** Raised by every tick: a sign of life. */
const BEATS = 2;
const HEAD = 3;
/** Per share: its state and how far it is, in millionths. */
const STATE = 0;
const FRACTION = 1;
const WIDTH = 2;

/** States of a share; a positive one is the thread that is at it. */
const FREE = 0;
const FINISHED = -1;
const LOST = -2;

export function newBoard(num: number): CrewBoard {
  return { words: new Int32Array(new SharedArrayBuffer(4 * (HEAD + WIDTH * num))), num };
}

/** The first share that nobody is at, now taken by `thread` (1, 2 ...); NONE when there is no other, or all are to stop. */
export function takeShare({ words, num }: CrewBoard, thread: number): number {
  if (Atomics.load(words, STOP) === 1) return NONE;
  for (let i = 0; i < num; i++) {
    if (Atomics.compareExchange(words, HEAD + i * WIDTH + STATE, FREE, thread) === FREE) return i;
  }
  return NONE;
}

export function markFinished(board: CrewBoard, index: number): void {
  Atomics.store(board.words, HEAD + index * WIDTH + FRACTION, 1e6);
  tellState(board, index, FINISHED);
}

/** The thread at the share ends without having finished it. */
export function markLost(board: CrewBoard, index: number): void {
  tellState(board, index, LOST);
}

function tellState({ words }: CrewBoard, index: number, state: number): void {
  Atomics.store(words, HEAD + index * WIDTH + STATE, state);
  Atomics.add(words, NEWS, 1);
  Atomics.notify(words, NEWS);
}

export function isFinished({ words }: CrewBoard, index: number): boolean {
  return Atomics.load(words, HEAD + index * WIDTH + STATE) === FINISHED;
}

export function isLost({ words }: CrewBoard, index: number): boolean {
  return Atomics.load(words, HEAD + index * WIDTH + STATE) === LOST;
}

export function markFraction({ words }: CrewBoard, index: number, fraction: number): void {
  Atomics.store(words, HEAD + index * WIDTH + FRACTION, Math.round(1e6 * Math.min(1, Math.max(0, fraction))));
  Atomics.add(words, BEATS, 1);
}

/** How far all shares together are, 0 to 1. */
export function fractionOf({ words, num }: CrewBoard): number {
  let sum = 0;
  for (let i = 0; i < num; i++) sum += Atomics.load(words, HEAD + i * WIDTH + FRACTION);
  return sum / (1e6 * num);
}

export function beatsOf({ words }: CrewBoard): number {
  return Atomics.load(words, BEATS);
}

export function stopAll({ words }: CrewBoard): void {
  Atomics.store(words, STOP, 1);
}

export function isStopped({ words }: CrewBoard): boolean {
  return Atomics.load(words, STOP) === 1;
}

export function newsOf({ words }: CrewBoard): number {
  return Atomics.load(words, NEWS);
}

/** Sleeps until there is news beside `known`, but no longer than `mostMs`. */
export function waitForNews({ words }: CrewBoard, known: number, mostMs: number): void {
  Atomics.wait(words, NEWS, known, mostMs);
}
