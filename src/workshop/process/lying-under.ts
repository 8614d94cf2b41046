// Which layer of paint decides what may go over it.
import type { CoatLayer } from './surface-record.ts';

/** The layer that the one at `index`, from 1, meets: a wash is so thin that what lies under it counts. */
export function lyingUnder(coats: readonly CoatLayer[], index: number): CoatLayer {
  // the first of all is primer
  return coats.slice(0, index).findLast(({ kind }) => kind !== 'wash')!;
}
