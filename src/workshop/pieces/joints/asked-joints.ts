// Which seams are to be joined another way than their wall asks for: places that were pointed at, found again on the seams.
import { type Finding, finding } from '../../../base/findings.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import type { JointKind } from '../../process/joints-record.ts';
import type { Seam } from '../../process/pieces-record.ts';
import type { AskedJoint } from './joints-settings.ts';

/** A place asked for belongs to the nearest seam, if it is so near, mm. */
const ASTRAY_MM = 12;

/** Per seam the kind that was asked for last, or null. `scale`: worn over unscaled. Cost: places x points of outlines. */
export function askedKinds(
  asked: readonly AskedJoint[],
  seams: readonly Seam[],
  scale: number,
): { readonly kinds: readonly (JointKind | null)[]; readonly findings: readonly Finding[] } {
  const kinds: (JointKind | null)[] = seams.map(() => null);
  const findings: Finding[] = [];
  asked.forEach(({ atMm: unscaled, join }, index) => {
    const atMm: Vec3 = [unscaled[0] * scale, unscaled[1] * scale, unscaled[2] * scale];
    const apart = seams.map((seam) => distanceTo(seam, atMm));
    const least = Math.min(...apart);
    if (least <= ASTRAY_MM) kinds[apart.indexOf(least)] = join;
    else
      findings.push(
        finding(
          'JOINT_ASTRAY',
          `The place where ${join} were asked for lies on no seam; the nearest passes ${least.toFixed(0)} mm from it.`,
          {
            where: { path: `joints.asked.${index}`, space: 'worn', atMm },
            measured: least,
            limit: ASTRAY_MM,
            unit: 'mm',
          },
        ),
      );
  });
  return { kinds, findings };
}

function distanceTo({ outlines }: Seam, [x, y, z]: Vec3): number {
  let least = Infinity;
  for (const outline of outlines)
    for (let i = 0; i < outline.length; i += 3)
      least = Math.min(least, Math.hypot(outline[i]! - x, outline[i + 1]! - y, outline[i + 2]! - z));
  return least;
}
