// Which of the openings is the neck and which is the face.
import type { Gap } from '../../geometry/hollow.ts';
import { angleDeg, dot, minus, plus, scaled, unit } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';

/** The face of a shell: one opening in the mirror plane, or two that mirror each other (an eye each). */
export interface Face {
  readonly gaps: readonly Gap[];
  readonly share: number;
  readonly outward: Vec3;
}

/** Openings nearer to the neck than this belong to it. */
const AWAY_FROM_NECK_DEG = 40;
/** How far an opening may lean out of the mirror plane and still lie in it; how well two must mirror each other. */
const LEAN_DEG = 12;
/** Smaller ones are breathing holes and screw holes. */
const LEAST_SHARE = 0.003;

/** The largest face, by share of all directions, of the openings away from the neck. Without a mirror plane: the largest opening. */
export function findFace(gaps: readonly Gap[], neck: Gap, mirrorNormal: Vec3 | null): Face | null {
  const away = gaps.filter((gap) => gap !== neck && angleDeg(gap.outward, neck.outward) > AWAY_FROM_NECK_DEG);
  const faces = away.flatMap((gap, at) => {
    const single: Face = { gaps: [gap], share: gap.share, outward: gap.outward };
    if (mirrorNormal === null) return [single];
    const lean = Math.abs(90 - angleDeg(gap.outward, mirrorNormal));
    if (lean <= LEAN_DEG) return [single];
    return away.slice(at + 1).flatMap((other) => pairOf(gap, other, mirrorNormal) ?? []);
  });
  const largest = faces.sort((a, b) => b.share - a.share)[0];
  return largest !== undefined && largest.share >= LEAST_SHARE ? largest : null;
}

/** Two openings of like size that mirror each other and look more forward than sideways. */
function pairOf(a: Gap, b: Gap, n: Vec3): Face | null {
  const mirrored = minus(a.outward, scaled(n, 2 * dot(a.outward, n)));
  if (angleDeg(mirrored, b.outward) > LEAN_DEG || a.share > 1.7 * b.share || b.share > 1.7 * a.share) return null;
  const sum = plus(a.outward, b.outward);
  return Math.hypot(...sum) < 1 ? null : { gaps: [a, b], share: a.share + b.share, outward: unit(sum) };
}
