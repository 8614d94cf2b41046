// What is asked, in the terms of the search: cuts it begins with, beds that claim a part, and places too dear to cross.
import { done, type Outcome, type Refusal, refuse } from '../../../base/findings.ts';
import type { Plane } from '../../../geometry/plane.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import { dot, scaled } from '../../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import { askedWords } from '../../process/asked-seams.ts';
import { seamLine } from '../price/seam-gauge.ts';
import type { SeamPrice } from '../price/seam-price.ts';
import { isLopsided } from '../search/cut-costs.ts';
import { type Division, wholeDivision, withCut } from '../search/division-search.ts';
import { type BoxClaim, type DivisionTask, type ProxyPart, splitPart } from '../search/proxy-part.ts';
import { areasAt, areasOfTriangles } from './asked-areas.ts';
import type { AskedAtSize, WornSeam } from './asked-at-size.ts';

/** What a millimetre counts within an area kept clear: 40 mm of it are dearer than a further piece, so that a division goes round it
 *  wherever there is a way; what crosses it all the same is refused when it has been cut. */
export const CLEAR_PRICE = 25;

interface PricedShell {
  readonly samples: SurfaceSamples;
  readonly price: SeamPrice;
  readonly weight: Float64Array;
}

/** The same shell with its areas kept clear too dear to cross. Cost: O(numTris x areas). */
export function withClearAreas<Sampled extends PricedShell>(
  sampled: Sampled,
  mesh: Mesh,
  areas: AskedAtSize['areas'],
): Sampled {
  if (areas.length === 0) return sampled;
  const { samples, price, weight } = sampled;
  const tris = areasOfTriangles(areas, mesh);
  const here = areasAt(areas, samples.middles, samples.normals);
  return {
    ...sampled,
    price: { ...price, price: price.price.map((one, tri) => (tris[tri]! > 0 ? CLEAR_PRICE : one)) },
    weight: weight.map((one, sample) => (here[sample]! > 0 ? CLEAR_PRICE : one)),
  };
}

/** Parts with these places may only use these beds. */
export function claimsOf(
  machines: AskedAtSize['machines'],
  samples: SurfaceSamples,
  boxes: DivisionTask['boxes'],
): BoxClaim[] {
  return machines.map(({ atMm, bed }) => ({ sample: nearestSample(samples, atMm), boxes: [boxes[bed]!] }));
}

/** The division that has only the cuts asked for, in their order, each after those that it lies within. Refuses PIECES_SEAM_UNMET for
 *  one that passes by its part. */
export function heldDivision(task: DivisionTask, seams: readonly WornSeam[], scale: number): Outcome<Division> {
  let division = wholeDivision(task);
  for (const seam of seams) {
    const sample = nearestSample(task.samples, seam.firstMm);
    for (const bound of seam.within) division = withCutAt(task, division, sample, bound) ?? division;
    const cut = withCutAt(task, division, sample, seam.plane);
    if (cut === null) return passesBy(task, partAt(division, sample), seam, scale);
    division = cut;
  }
  return done(division);
}

/** The division with its part at a sample cut; null where the plane leaves nothing of it on one side. */
function withCutAt(task: DivisionTask, division: Division, sample: number, plane: Plane): Division | null {
  const part = partAt(division, sample);
  const sides = splitPart(task, part, plane);
  if (sides.below.length === 0 || sides.above.length === 0) return null;
  const lopsidedMm = isLopsided(task, part, plane) ? task.weights.lopsided : 0;
  const costMm = task.weights.seam * seamLine(task.shell, part, plane).costMm + lopsidedMm;
  return withCut(task, division, { part, cut: { plane, costMm, expectedMm: costMm, sides, pair: null } });
}

/** The part of a division that has a sample. */
export function partAt(division: Division, sample: number): ProxyPart {
  return division.leaves.find(({ samples }) => samples.includes(sample)) ?? division.leaves[0]!;
}

function passesBy(task: DivisionTask, part: ProxyPart, seam: WornSeam, scale: number): Refusal {
  let nearest = Infinity;
  for (const s of part.samples) {
    const at: Vec3 = [task.samples.points[s * 3]!, task.samples.points[s * 3 + 1]!, task.samples.points[s * 3 + 2]!];
    nearest = Math.min(nearest, Math.abs(dot(at, seam.plane.normal) - seam.plane.offsetMm));
  }
  return refuse(
    'PIECES_SEAM_UNMET',
    `${askedWords('seams', seam.index)} does not cut the part in which its first point lies: the seams before it leave nothing on one side of its plane, which comes no nearer to the rest than ${nearest.toFixed(1)} mm.`,
    { where: whereOf(seam, scale), tryThis: 'Move it into the shell, or take it or one of the seams before it away.' },
  );
}

export function whereOf(seam: WornSeam, scale: number): NonNullable<Refusal['where']> {
  return { path: `pieces.asked.seams.${seam.index}`, space: 'model', atMm: scaled(seam.firstMm, 1 / scale) };
}

export function nearestSample({ middles: p }: SurfaceSamples, at: Vec3): number {
  let nearest = Infinity;
  let found = 0;
  for (let s = 0; s * 3 < p.length; s++) {
    const away = (p[s * 3]! - at[0]) ** 2 + (p[s * 3 + 1]! - at[1]) ** 2 + (p[s * 3 + 2]! - at[2]) ** 2;
    if (away < nearest) [nearest, found] = [away, s];
  }
  return found;
}
