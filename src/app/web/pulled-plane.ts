// Where a plane goes when it is pulled at one of its points: along its normal, or leaning about the middle of the model.
import type { Plane } from '../../geometry/plane.ts';
import { dot, minus, plus, scaled, unit } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';

export interface PulledBy {
  /** Where it was taken hold of. */
  readonly at: Vec3;
  /** Along the normal. */
  readonly mm: number;
  readonly how: 'moves' | 'leans';
  /** Middle of the model: a plane leans about the point of it nearest to this. */
  readonly middle: Vec3;
}

export function pulledPlane({ normal, offsetMm }: Plane, { at, mm, how, middle }: PulledBy): Plane {
  if (how === 'moves') return { normal, offsetMm: offsetMm + mm };
  const pivot = plus(middle, scaled(normal, offsetMm - dot(normal, middle)));
  const arm = minus(at, pivot);
  const inPlane = minus(arm, scaled(normal, dot(arm, normal)));
  const length = Math.hypot(...inPlane);
  if (length < 1) return { normal, offsetMm };
  const turn = Math.atan2(mm, length);
  const leaned = unit(plus(scaled(normal, Math.cos(turn)), scaled(inPlane, -Math.sin(turn) / length)));
  return { normal: leaned, offsetMm: dot(leaned, pivot) };
}
