// What a millimetre of seam counts at every triangle of a shell: dear in full view, cheap where nobody looks or a crease hides it.
import { partOfWork, type Work } from '../../../base/work.ts';
import { CREASE_DEFAULTS, concaveCreases } from '../../../geometry/concave-creases.ts';
import { withoutIslands } from '../../../geometry/label-islands.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import { knownSurface } from '../../../mesh/known-surface.ts';
import { areaNormals } from '../../../mesh/measure.ts';
import { type Mesh, numTris } from '../../../mesh/mesh.ts';
import type { OutsideView } from './outside-view.ts';
import { viewBlend } from './view-blend.ts';
import { LOOKED_FROM } from './view-weights.ts';

/** All per triangle of the shell. */
export interface SeamPrice {
  /** 1 on the outside. */
  readonly isOuter: Uint8Array;
  /** 0 to 1: how much it is looked at; 0 inside. */
  readonly seen: Float32Array;
  /** 0 to 1: how deep in an inward fold. */
  readonly crease: Float32Array;
  /** 0 to 1: hidden + (1 - hidden) seen (1 - crease) on the outside, 0 inside. */
  readonly price: Float32Array;
  /** Index into LOOKED_FROM: from where it is looked at most, measured by the most that can be looked from there. A face that looks up
   *  is seen from above, though more people glance at it from the front. */
  readonly lookedFrom: Uint8Array;
}

/** The view of the samples carried over to the triangles, evenly from sample to sample, with creases and price. crease: when known already.
 *  Cost: O(numTris x neighbours of a sample), about 1 s per million triangles. docs/methods/seam-price.md. */
export function seamPrice(
  mesh: Mesh,
  sampled: { readonly samples: SurfaceSamples; readonly view: OutsideView; readonly crease?: Float32Array },
  hidden: number,
  work: Work,
): SeamPrice {
  const { samples, view } = sampled;
  const surface = knownSurface(mesh);
  const crease = sampled.crease ?? concaveCreases(mesh, partOfWork(work, 0, 0.5), CREASE_DEFAULTS, surface);
  const ofSample = Uint8Array.from(samples.triSample, (sample) => view.isOuter[sample]!);
  const isOuter = withoutIslands(mesh, ofSample, LEAST_ISLAND * samples.spacingMm ** 2, surface);
  const num = numTris(mesh);
  const seen = new Float32Array(num);
  const lookedFrom = new Uint8Array(num);
  const price = new Float32Array(num);
  const blend = viewBlend(mesh, surface.normals, samples, view);
  for (let tri = 0; tri < num; tri++) {
    if ((tri & 0xfff) === 0) work.tick(0.5 + (0.5 * tri) / num, 'pricing seams');
    if (isOuter[tri] === 0) continue;
    const from = blend(tri);
    let sum = 0;
    let most = 0;
    for (let k = 0; k < LOOKED_FROM.length; k++) {
      sum += from[k]!;
      const share = view.mostFrom[k]! > 0 ? from[k]! / view.mostFrom[k]! : 0;
      if (share <= most) continue;
      most = share;
      lookedFrom[tri] = k;
    }
    seen[tri] = Math.min(1, sum);
    price[tri] = hidden + (1 - hidden) * seen[tri]! * (1 - crease[tri]!);
  }
  return { isOuter, seen, crease, price, lookedFrom };
}

/** Of a shell of which nothing is known yet. */
export function noPrice(num: number): SeamPrice {
  return {
    isOuter: new Uint8Array(num),
    seen: new Float32Array(num),
    crease: new Float32Array(num),
    price: new Float32Array(num),
    lookedFrom: new Uint8Array(num),
  };
}

/** Writes the prices of one body into those of the whole. tris: per triangle of the body, which one of the whole it is. */
export function writePrice(whole: SeamPrice, tris: Int32Array, body: SeamPrice): void {
  for (let i = 0; i < tris.length; i++) {
    const tri = tris[i]!;
    whole.isOuter[tri] = body.isOuter[i]!;
    whole.seen[tri] = body.seen[i]!;
    whole.crease[tri] = body.crease[i]!;
    whole.price[tri] = body.price[i]!;
    whole.lookedFrom[tri] = body.lookedFrom[i]!;
  }
}

/** Per sample: mean price of its outer triangles by area; 0 for samples without any. For triangles wider than a sample, the price of
 *  the triangle nearest. Cost: O(numTris). */
export function samplePrices(mesh: Mesh, samples: SurfaceSamples, { isOuter, price }: SeamPrice): Float64Array {
  const normals = areaNormals(mesh);
  const area = new Float64Array(samples.num);
  const out = new Float64Array(samples.num);
  for (let tri = 0; tri < price.length; tri++) {
    if (isOuter[tri] === 0) continue;
    const sample = samples.triSample[tri]!;
    const a = Math.sqrt(normals[tri * 3]! ** 2 + normals[tri * 3 + 1]! ** 2 + normals[tri * 3 + 2]! ** 2);
    area[sample] = area[sample]! + a;
    out[sample] = out[sample]! + a * price[tri]!;
  }
  for (let i = 0; i < samples.num; i++)
    out[i] = area[i]! > 0 ? out[i]! / area[i]! : price[samples.sampleTri[i]!]! * isOuter[samples.sampleTri[i]!]!;
  return out;
}

/** Islands of outside and inside smaller than so many samples are mistakes of single ones. */
const LEAST_ISLAND = 4;
