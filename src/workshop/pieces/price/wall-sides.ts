// Which of the two sides of every wall is outside.
import type { PatchPoints } from '../../../geometry/patch-points.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import type { BoundingTree } from '../../../mesh/bounding-tree.ts';
import { NONE, type Vec3 } from '../../../mesh/mesh.ts';
import { raycast } from '../../../mesh/ray.ts';

/** Farther apart, two sides are not those of a wall but of a solid. */
const THICKEST_WALL_MM = 30;

/** Per sample, the sample on the other side, or NONE: at any distance, and no farther than a wall is thick. */
export function oppositeSides(
  tree: BoundingTree,
  samples: SurfaceSamples,
  at: PatchPoints,
  by: { readonly liftMm: number; readonly perSample: number },
): { readonly any: Int32Array; readonly thin: Int32Array } {
  const any = new Int32Array(samples.num).fill(NONE);
  const thin = new Int32Array(samples.num).fill(NONE);
  for (let i = 0; i < samples.num; i++) {
    const o = i * by.perSample * 3;
    const inward: Vec3 = [-at.normals[o]!, -at.normals[o + 1]!, -at.normals[o + 2]!];
    const start: Vec3 = [
      at.points[o]! + by.liftMm * inward[0],
      at.points[o + 1]! + by.liftMm * inward[1],
      at.points[o + 2]! + by.liftMm * inward[2],
    ];
    const hit = raycast(tree, start, inward);
    if (hit === null) continue;
    const other = samples.triSample[hit.tri]!;
    if (!isLeft(samples, other, inward)) continue;
    any[i] = other;
    if (hit.t < THICKEST_WALL_MM) thin[i] = other;
  }
  return { any, thin };
}

/** Whether a ray inwards leaves the solid at this sample. Where it enters, the ray had set out beside a part thinner than a sample, and
 *  what it met is another part of the shell. */
function isLeft({ normals }: SurfaceSamples, at: number, inward: Vec3): boolean {
  return normals[at * 3]! * inward[0] + normals[at * 3 + 1]! * inward[1] + normals[at * 3 + 2]! * inward[2] > 0;
}

/** A side this much as open as the other is first taken for outside too: an ornament, a brim. */
const ALIKE = 0.6;
/** A side of a wall is outside when this share of its rays leaves the model or meets what is outside; the more open side of the two when
 *  fewer do. */
const OUTSIDE_SHARE = 0.8;
const MORE_OPEN_SHARE = 0.45;
const MOST_ROUNDS = 8;

export interface Sides {
  /** Per sample, 0 to 1. */
  readonly open: Float64Array;
  /** Per sample, the sample across its wall, or NONE. */
  readonly opposite: Int32Array;
  /** Samples x rays of a sample: sample met by each ray, or NONE. */
  readonly met: Int32Array;
}

/** Per sample, 1 on the outside. The more open side of each wall, then corrected by what the rays of a sample meet, until nothing changes: from under a brim they meet
 *  the neck's outside, from inside the neck the inside of the crown. What has no wall behind it is a solid, all of which is outside. At
 *  last neighbours that face alike agree by area. Cost: O(samples x rays) a round. Weak: the inside of a wide flare sees as much as a brim. */
export function outerSides(samples: SurfaceSamples, sides: Sides): Uint8Array {
  return smoothed(samples, sidesOf(sides));
}

function sidesOf({ open, opposite, met }: Sides): Uint8Array {
  const perSample = met.length / open.length;
  const out = Uint8Array.from(open, (share, i) => {
    const other = opposite[i]!;
    return other === NONE || share >= ALIKE * open[other]! ? 1 : 0;
  });
  for (let round = 0, changed = 1; round < MOST_ROUNDS && changed > 0; round++) {
    changed = 0;
    const before = out.slice();
    for (let i = 0; i < out.length; i++) {
      const other = opposite[i]!;
      if (other === NONE) continue;
      const least = open[i]! >= open[other]! ? MORE_OPEN_SHARE : OUTSIDE_SHARE;
      let outer = 0;
      for (let k = i * perSample; k < (i + 1) * perSample; k++) if (met[k] === NONE || before[met[k]!] === 1) outer++;
      const now = outer >= least * perSample ? 1 : 0;
      if (now === out[i]) continue;
      out[i] = now;
      changed++;
    }
  }
  return out;
}

function smoothed(samples: SurfaceSamples, isOuter: Uint8Array): Uint8Array {
  const { normals: n, areaMm2 } = samples;
  return isOuter.map((own, i) => {
    let outer = (own === 1 ? 1 : -1) * areaMm2[i]!;
    for (let k = samples.neighbourStart[i]!; k < samples.neighbourStart[i + 1]!; k++) {
      const j = samples.neighbours[k]!;
      const agree = n[i * 3]! * n[j * 3]! + n[i * 3 + 1]! * n[j * 3 + 1]! + n[i * 3 + 2]! * n[j * 3 + 2]!;
      if (agree > 0.5) outer += (isOuter[j] === 1 ? 1 : -1) * areaMm2[j]!;
    }
    return outer > 0 ? 1 : 0;
  });
}
