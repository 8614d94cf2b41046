// How far each cut of a division may bow, and which cuts are images of one another.
import { isNearlySamePlane, type Plane } from '../../../geometry/plane.ts';
import type { MadeCut, PathStep } from '../cut/exact-division.ts';
import { mirroredPlane } from '../search/cut-costs.ts';
import type { BowReach } from './bow-chart.ts';

/** How far each cut may bow; those that may not at all are missing. Seams that were asked for stay where they were asked for. */
export function reachOfCuts(
  cuts: readonly MadeCut[],
  held: readonly { readonly plane: Plane }[],
  mostMm: number,
): Map<number, BowReach> {
  const out = new Map<number, BowReach>();
  cuts.forEach(({ asked }, cut) => {
    if (!held.some(({ plane }) => isNearlySamePlane(plane, asked))) out.set(cut, { upMm: mostMm, downMm: mostMm });
  });
  return out;
}

/** A piece that no longer fits may not grow any more over this cut, nor its image; one that was spoiled all the same keeps it flat. */
export function holdBack(
  { cut, side }: PathStep,
  reach: Map<number, BowReach>,
  cuts: readonly MadeCut[],
  mirrorX: number | null,
): void {
  const images = twinsOf(cut, cuts, mirrorX).map((other): PathStep => {
    const [x, y, z] = cuts[cut]!.plane.normal;
    const n = cuts[other]!.plane.normal;
    const isTurned = -x * n[0] + y * n[1] + z * n[2] < 0;
    return { cut: other, side: isTurned === (side === 1) ? 0 : 1 };
  });
  for (const one of [{ cut, side }, ...images]) {
    const { upMm, downMm } = reach.get(one.cut) ?? { upMm: 0, downMm: 0 };
    // the part below a cut grows where the cut goes up
    const left = one.side === 0 ? { upMm: 0, downMm } : { upMm, downMm: 0 };
    if (left.upMm + left.downMm === 0 || upMm * downMm === 0) reach.delete(one.cut);
    else reach.set(one.cut, left);
  }
}

/** Of the bows that made a spoiled piece the one that would be missed least. */
export function leastGaining(steps: readonly PathStep[], gains: ReadonlyMap<number, number>): PathStep {
  return steps.reduce((least, step) => (gains.get(step.cut)! < gains.get(least.cut)! ? step : least));
}

/** Square to x: the middle of the pattern. What leaves it leaves the pattern by a few mm only. */
export function isMiddle({ normal }: Plane): boolean {
  return Math.abs(normal[0]) > 0.999;
}

/** The other cuts whose plane is the mirror image of this one's. */
export function twinsOf(cut: number, cuts: readonly MadeCut[], mirrorX: number | null): number[] {
  if (mirrorX === null) return [];
  const image = mirroredPlane(cuts[cut]!.plane, mirrorX);
  return cuts.flatMap(({ plane }, other) => (other !== cut && isNearlySamePlane(plane, image) ? [other] : []));
}
