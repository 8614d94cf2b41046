// Which seam each place belongs to at which another kind of joint was asked for: ids of seams change with the division, places stay.
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Seam } from './pieces-record.ts';

/** A place asked for belongs to the nearest seam, if it is so near, mm. */
export const ASTRAY_MM = 12;

export interface NearestSeam {
  /** Its place in the list of seams; null where none passes near enough. */
  readonly seam: number | null;
  /** How far the nearest one passes, mm; infinite where there is none. */
  readonly apartMm: number;
  /** The place at worn size, mm. */
  readonly atMm: Vec3;
}

/** For each place, levelled and unscaled, the seam it belongs to. `scale`: worn over unscaled. Cost: places x points of outlines. */
export function nearestSeams(
  asked: readonly { readonly atMm: Vec3 }[],
  seams: readonly Pick<Seam, 'outlines'>[],
  scale: number,
): readonly NearestSeam[] {
  return asked.map(({ atMm: unscaled }) => {
    const atMm: Vec3 = [unscaled[0] * scale, unscaled[1] * scale, unscaled[2] * scale];
    const apart = seams.map((seam) => distanceTo(seam, atMm));
    const apartMm = apart.reduce((least, one) => Math.min(least, one), Infinity);
    return { seam: apartMm <= ASTRAY_MM ? apart.indexOf(apartMm) : null, apartMm, atMm };
  });
}

function distanceTo({ outlines }: Pick<Seam, 'outlines'>, [x, y, z]: Vec3): number {
  let least = Infinity;
  for (const outline of outlines)
    for (let i = 0; i < outline.length; i += 3)
      least = Math.min(least, Math.hypot(outline[i]! - x, outline[i + 1]! - y, outline[i + 2]! - z));
  return least;
}
