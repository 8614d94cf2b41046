// The joins in the order in which they are made: as Assembly found their ways free, and until then as the division gives them.
import type { Join } from '../process/joints-record.ts';
import type { BookResults } from './graph.ts';

/** Empty while there are none. */
export function joinedOrder({ joints, assembly }: Pick<BookResults, 'joints' | 'assembly'>): readonly Join[] {
  if (assembly.state === 'computed') return assembly.record.joins;
  return joints.state === 'computed' ? joints.record.order : [];
}
