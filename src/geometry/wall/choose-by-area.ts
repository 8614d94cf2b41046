// Some of many triangles, spread evenly over the area: what a costly measure is taken at.
import { randomStream } from '../../base/random.ts';

/** numTris: 1 for about `most` triangles, or for all when there are no more: every step of equal area takes the triangle it ends in, so that
 *  large triangles are always among them. Same seed, same triangles. */
export function chooseByArea(areaMm2: Float64Array, most: number, seed: number): Uint8Array {
  const out = new Uint8Array(areaMm2.length);
  if (areaMm2.length <= most) return out.fill(1);
  let total = 0;
  for (const area of areaMm2) total += area;
  let next = randomStream(seed)();
  let sum = 0;
  for (let t = 0; t < out.length; t++) {
    sum += (areaMm2[t]! / total) * most;
    if (sum < next) continue;
    out[t] = 1;
    next = Math.floor(sum - next) + next + 1;
  }
  return out;
}

/** Areas, from `areaNormals`: half of each length. */
export function areasOf(normals: Float64Array): Float64Array {
  const out = new Float64Array(normals.length / 3);
  for (let t = 0; t < out.length; t++) {
    out[t] = Math.sqrt(normals[t * 3]! ** 2 + normals[t * 3 + 1]! ** 2 + normals[t * 3 + 2]! ** 2) / 2;
  }
  return out;
}
