// From where a finished piece is looked at, and how much each direction counts.
import { z } from 'zod';

const share = (byDefault: number, why: string) => z.number().min(0).max(1).default(byDefault).describe(why);

/** Common practice, no source: people meet a wearer face to face, pass at the sides, follow behind; few look down on a helmet, hardly
 *  anybody looks up under it. */
export const Viewers = z.strictObject({
  front: share(1, 'Looked at from the front'),
  sides: share(0.7, 'Looked at from the sides'),
  back: share(0.5, 'Looked at from behind'),
  above: share(0.45, 'Looked at from above'),
  below: share(0.05, 'Looked at from below'),
});
export type Viewers = z.infer<typeof Viewers>;

/** How much is looked from this direction (unit, from the surface towards the viewer). Model space: front is -y. Between the five
 *  directions it changes evenly: round the level by the cosine, up and down by the height. */
export function lookedFrom(viewers: Viewers, x: number, y: number, z: number): number {
  const level = Math.sqrt(x * x + y * y);
  const front = level > 0 ? -y / level : 0;
  const end = front >= 0 ? viewers.front : viewers.back;
  const around = viewers.sides + (end - viewers.sides) * Math.abs(front);
  return level * around + (1 - level) * (z >= 0 ? viewers.above : viewers.below);
}
