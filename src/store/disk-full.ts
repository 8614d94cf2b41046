// One word for all the ways in which a disk says that it is full.
import { StoreFull } from './store.ts';

/** ENOSPC and EDQUOT are the system's, 53100 is PostgreSQL's. */
const CODES = new Set<unknown>(['ENOSPC', 'EDQUOT', '53100']);

export function isDiskFull(error: unknown): boolean {
  for (let at = error; at instanceof Error; at = at.cause)
    if (at instanceof StoreFull || CODES.has((at as NodeJS.ErrnoException).code)) return true;
  return false;
}

/** Runs it, and throws StoreFull in place of whatever a full disk made it throw. */
export async function orFull<T>(run: () => Promise<T>): Promise<T> {
  try {
    return await run();
  } catch (error) {
    throw isDiskFull(error) && !(error instanceof StoreFull) ? new StoreFull(error) : error;
  }
}
