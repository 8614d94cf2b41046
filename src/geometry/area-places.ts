// Places spread evenly over the area of some triangles: what a costly measure is taken at, when triangles may be larger than what is looked for.
import { randomStream } from '../base/random.ts';
import type { Mesh } from '../mesh/mesh.ts';

export interface AreaPlaces {
  /** num: the triangle of each place, in the order of triangles. */
  readonly tri: Uint32Array;
  /** num x 3, mm. */
  readonly atMm: Float64Array;
  /** What every place stands for; 0 without any. */
  readonly areaMm2: number;
}

/** Powers of the inverse of the root of x^3 = x + 1. */
const ACROSS = 0.7548776662466927;
const ALONG = 0.5698402909980532;

/** About `most` places on the triangles that have an area (mm2, numTris; 0 leaves one out): every step of equal area puts one into the triangle it ends in, several of a large one
 *  evenly over it. Same seed, same places. Cost: O(triangles + places). Method: additive recurrence in two dimensions (Roberts 2018). */
export function areaPlaces(
  { positions: p, triangles: t }: Mesh,
  areaMm2: Float64Array,
  most: number,
  seed: number,
): AreaPlaces {
  let total = 0;
  for (const area of areaMm2) total += area;
  const num = total > 0 ? most : 0;
  const tri = new Uint32Array(num);
  const atMm = new Float64Array(num * 3);
  const random = randomStream(seed);
  let across = random();
  let along = random();
  const step = total / most;
  let next = random() * step;
  let sum = 0;
  let placed = 0;
  for (let i = 0; i < areaMm2.length && placed < num; i++) {
    sum += areaMm2[i]!;
    for (; sum > next && placed < num; next += step) {
      across = (across + ACROSS) % 1;
      along = (along + ALONG) % 1;
      const root = Math.sqrt(across);
      const second = root * along;
      const [a, b, c] = [t[i * 3]! * 3, t[i * 3 + 1]! * 3, t[i * 3 + 2]! * 3];
      for (let k = 0; k < 3; k++)
        atMm[placed * 3 + k] = (1 - root) * p[a + k]! + second * p[b + k]! + (root - second) * p[c + k]!;
      tri[placed++] = i;
    }
  }
  return { tri: tri.slice(0, placed), atMm: atMm.slice(0, placed * 3), areaMm2: num > 0 ? step : 0 };
}
