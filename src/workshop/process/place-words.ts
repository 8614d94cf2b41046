// A place on the worn model as a maker finds it with a rule: so much to the left, back and up from where the axes meet.
import type { Vec3 } from '../../mesh/mesh.ts';

/** "70 mm right, 83 mm back and 5 mm up", seen from the wearer; worn model space. */
export function placeWords([x, y, z]: Vec3): string {
  const along = (mm: number, one: string, other: string): string =>
    `${Math.abs(mm).toFixed(0)} mm ${mm < 0 ? other : one}`;
  return `${along(x, 'left', 'right')}, ${along(y, 'back', 'to the front')} and ${along(z, 'up', 'down')}`;
}
