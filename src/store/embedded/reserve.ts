// A file that holds room on the disk, so that the database can end what it began when everything else is full.
import { randomBytes } from 'node:crypto';
import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';

/** Several times what the largest write and the tidying after a kill need: the log grows in files of 1 MiB. */
const RESERVE_BYTES = 8 << 20;
/** Not zeros, which some file systems keep without taking room. */
const FILLING = randomBytes(1 << 20);

export interface Reserve {
  /** Gives the room up; false when it was given up before. */
  give(): boolean;
  /** Takes the room again if it was given up. Throws the disk's own error when there is none. */
  restore(): void;
}

export function openReserve(path: string): Reserve {
  let held = existsSync(path);
  return {
    give() {
      if (!held) return false;
      held = false;
      rmSync(path, { force: true });
      return true;
    },
    restore() {
      if (held) return;
      const staged = `${path}.part`;
      try {
        writeReserve(staged);
        renameSync(staged, path);
      } catch (error) {
        rmSync(staged, { force: true });
        throw error;
      }
      held = true;
    },
  };
}

function writeReserve(path: string): void {
  const file = openSync(path, 'w');
  try {
    for (let bytes = 0; bytes < RESERVE_BYTES; ) bytes += writeSync(file, FILLING);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
