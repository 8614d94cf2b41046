// Which seams are to be joined another way than their wall asks for: places that were pointed at, found again on the seams.
import { type Finding, finding } from '../../../base/findings.ts';
import { ASTRAY_MM, nearestSeams } from '../../process/asked-joints.ts';
import type { JointKind } from '../../process/joints-record.ts';
import type { Seam } from '../../process/pieces-record.ts';
import type { AskedJoint } from './joints-settings.ts';

/** Per seam the kind that was asked for last, or null. `scale`: worn over unscaled. Cost: places x points of outlines. */
export function askedKinds(
  asked: readonly AskedJoint[],
  seams: readonly Seam[],
  scale: number,
): { readonly kinds: readonly (JointKind | null)[]; readonly findings: readonly Finding[] } {
  const kinds: (JointKind | null)[] = seams.map(() => null);
  const findings: Finding[] = [];
  nearestSeams(asked, seams, scale).forEach(({ seam, apartMm, atMm }, index) => {
    const { join } = asked[index]!;
    if (seam !== null) kinds[seam] = join;
    else
      findings.push(
        finding(
          'JOINT_ASTRAY',
          `The place where ${join === 'none' ? 'no keys' : join} were asked for lies on no seam; the nearest passes ${apartMm.toFixed(0)} mm from it.`,
          {
            where: { path: `joints.asked.${index}`, space: 'worn', atMm },
            measured: apartMm,
            limit: ASTRAY_MM,
            unit: 'mm',
          },
        ),
      );
  });
  return { kinds, findings };
}
