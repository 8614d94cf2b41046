// Keys in the wrong place: what a replay of assembling must find.
import { dot, minus, scaled } from '../../../src/geometry/three-by-three.ts';
import { type Mesh, meshOf } from '../../../src/mesh/mesh.ts';
import type { Key } from '../../../src/workshop/process/joints-record.ts';
import { testKernel } from '../kernel.ts';
import type { KeyedModel } from './keyed-model.ts';

const kernel = await testKernel();

/** The key's carrier as it would be with that key so far along the seam from its place; all else as it is. */
export function misplaced({ plain, meshes, given }: KeyedModel, key: Key, byMm: number): Mesh {
  const own = meshes.get(plain.pieces.find(({ id }) => id === key.carrier)!.mesh)!;
  const { add, cut } = given.get(own)!;
  const shift = scaled(key.along, byMm);
  let shifted = 0;
  const adds = add.map((solid) => {
    if (!isOf(key, solid)) return solid;
    shifted++;
    return meshOf(
      solid.positions.map((at, i) => at + shift[i % 3]!),
      solid.triangles,
    );
  });
  if (shifted !== 1) throw new Error(`${shifted} solids of the key at ${key.atMm.join(', ')}`);
  return kernel.combine(own, adds, cut).mesh;
}

/** Begins on one side of the mating face, beside the key's place, and ends on the other. */
function isOf({ atMm, along, into, widthMm, reachMm }: Key, { positions }: Mesh): boolean {
  let [behind, beyond] = [false, false];
  for (let i = 0; i < positions.length; i += 3) {
    const from = minus([positions[i]!, positions[i + 1]!, positions[i + 2]!], atMm);
    if (Math.abs(dot(from, along)) > widthMm / 2 + 1 || Math.hypot(...from) > widthMm + 2 * reachMm) return false;
    const way = dot(from, into);
    behind ||= way < -2;
    beyond ||= way > 2;
  }
  return behind && beyond;
}
