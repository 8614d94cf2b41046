// One point on a surface that stands for the whole of it: where a mark for a piece goes.
import type { Mesh, Vec3 } from './mesh.ts';

/** The vertex nearest to the mean of all vertices, or of those that `within` names: it lies on the surface even where the mean of a
 *  bowl or a ring does not. The mesh must have a vertex that is meant. Cost: two passes over the vertices. */
export function middlePoint({ positions: p }: Mesh, within: (point: Vec3) => boolean = () => true): Vec3 {
  const mean: [number, number, number] = [0, 0, 0];
  let num = 0;
  const each = (visit: (x: number, y: number, z: number) => void): void => {
    for (let i = 0; i < p.length; i += 3) {
      const point: Vec3 = [p[i]!, p[i + 1]!, p[i + 2]!];
      if (within(point)) visit(...point);
    }
  };
  each((x, y, z) => {
    mean[0] += x;
    mean[1] += y;
    mean[2] += z;
    num++;
  });
  const [mx, my, mz] = mean.map((sum) => sum / num) as [number, number, number];
  let nearest: Vec3 = [mx, my, mz];
  let least = Infinity;
  each((x, y, z) => {
    const distance = (x - mx) ** 2 + (y - my) ** 2 + (z - mz) ** 2;
    if (distance >= least) return;
    least = distance;
    nearest = [x, y, z];
  });
  return nearest;
}
