// What has to be filled and sanded, patch by patch: layer lines, marks of support, and seams as wide as they are feathered out.
import type { PieceSurface, SeamSurface } from '../process/surface-record.ts';
import { allowedMm } from './rounds.ts';
import type { SurfaceSettings } from './surface-settings.ts';

export interface Patch {
  readonly of: 'lines' | 'scars' | 'seam';
  readonly areaMm2: number;
  readonly rounds: number;
  /** Whether it stands out more than may stay, so that the bare print is sanded. */
  readonly isRough: boolean;
  /** Filling that stays, mm3; of layer lines none: what fills them is laid on as a coat. */
  readonly fillMm3: number;
  /** By what sands it, in the order of FINISH_TOOLS. */
  readonly reachMm2: readonly number[];
}

/** Layer lines and marks of support. A mark takes half of what it stands out, over all of its area. */
export function outsidePatches(pieces: readonly PieceSurface[], settings: SurfaceSettings): readonly Patch[] {
  const mayStayMm = allowedMm(settings);
  return pieces.flatMap(({ classes }) =>
    classes.map(({ of, areaMm2, needMm, rounds, reachMm2 }): Patch => {
      const isScar = of === 'scars';
      const fillMm3 = isScar && rounds > 0 ? (areaMm2 * needMm) / 2 : 0;
      return { of: isScar ? 'scars' : 'lines', areaMm2, rounds, isRough: needMm > mayStayMm, fillMm3, reachMm2 };
    }),
  );
}

/** A wedge from the step out to nothing, and the groove of a mating face that was taken back. `reachMm2`: of all of the outside; seams are taken to be as easy to reach. */
export function seamPatches(
  seams: readonly SeamSurface[],
  reachMm2: readonly number[],
  { numbers }: SurfaceSettings,
): readonly Patch[] {
  const all = sum(reachMm2);
  return seams
    .filter(({ rounds }) => rounds > 0)
    .map(({ lengthMm, stepMm, grooveMm, rounds }) => {
      const areaMm2 = lengthMm * (stepMm * numbers.featherTimes + grooveMm);
      const fillMm3 = (lengthMm * (stepMm * stepMm * numbers.featherTimes + grooveMm * grooveMm)) / 2;
      const reach = reachMm2.map((part) => (all === 0 ? 0 : (part / all) * areaMm2));
      return { of: 'seam', areaMm2, rounds, isRough: true, fillMm3, reachMm2: reach };
    });
}

export function areaOf(patches: readonly Patch[]): number {
  return patches.reduce((all, { areaMm2 }) => all + areaMm2, 0);
}

function sum(values: readonly number[]): number {
  return values.reduce((all, value) => all + value, 0);
}
