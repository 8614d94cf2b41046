// Writes a computed kit as one folder, whole or not at all.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { writeWholeFolder } from '../../store/whole-files.ts';

/** Replaces an older kit; refuses a folder that holds anything else. */
export function writeKit(dir: string, files: ReadonlyMap<string, Uint8Array | string>): Outcome<string> {
  try {
    const written = writeWholeFolder(dir, files, isKitOrEmpty);
    if (written === 'written') return done(dir);
    return inTheWay(dir);
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    return refuse('DISK_REFUSED', `${dir} could not be written: ${code === 'ENOSPC' ? 'the disk is full' : message}.`, {
      where: { path: dir },
    });
  }
}

/** Whether a kit may be written there: nothing, an empty folder, or an older kit. Asked before the long work, too. */
export function isFree(dir: string): boolean {
  return !existsSync(dir) || isKitOrEmpty(dir);
}

export function inTheWay(dir: string): Refusal {
  return refuse(
    'OUTPUT_IN_THE_WAY',
    `${dir} is there already and is not a kit of this program, so it was left as it is.`,
    {
      where: { path: dir },
    },
  );
}

function isKitOrEmpty(dir: string): boolean {
  try {
    if (readdirSync(dir).length === 0) return true;
    const plan = join(dir, 'plan.json');
    return (
      existsSync(plan) && (JSON.parse(readFileSync(plan, 'utf8')) as { kind?: unknown }).kind === 'helmwright-plan'
    );
  } catch {
    return false;
  }
}
