// From where a shell is looked at, and what a free direction is worth to each of those who look.
import type { DirectionWeight } from '../../../geometry/exposure.ts';
import { lookedFrom, type Viewers } from '../../process/viewers.ts';

/** From where the outside is looked at; the order of OutsideView.from. */
export const LOOKED_FROM = ['front', 'sides', 'back', 'above', 'below'] as const satisfies (keyof Viewers)[];

/** What each of LOOKED_FROM adds to `lookedFrom`. */
export function viewWeights(viewers: Viewers): DirectionWeight[] {
  return LOOKED_FROM.map((from) => {
    const alone: Viewers = { front: 0, sides: 0, back: 0, above: 0, below: 0, [from]: viewers[from] };
    return (x, y, z) => lookedFrom(alone, x, y, z);
  });
}
