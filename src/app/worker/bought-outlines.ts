// What is bought for a joint, as a section shows it: no mesh of a screw, or of the disc in its own pocket, is in the build.
import type { Key } from '../../workshop/process/joints-record.ts';

/** Closed outlines, mm, with the key at 0,0 and the receiver to the right; `across` at half its reach. */
export interface BoughtOutlines {
  readonly through: readonly Float64Array[];
  readonly across: readonly Float64Array[];
}

/** Height of a pan head, in diameters of the screw; its width is two. Common practice, no source. */
const HEAD_HIGH = 0.65;
const CIRCLE_SIDES = 48;

/** `lengthMm`: height of a disc, or of a screw from under its head. Empty for other kinds. */
export function boughtOutlines({ kind, reachMm, widthMm, clearanceMm }: Key, lengthMm: number): BoughtOutlines {
  const radiusMm = widthMm / 2;
  if (kind === 'magnet') {
    // the receiver's disc lies at the floor of its pocket, twice the slack of a pocket from the other
    const from = reachMm + 4 * clearanceMm;
    return { through: [profile([from, radiusMm, from + lengthMm, radiusMm])], across: [] };
  }
  if (kind !== 'screw') return { through: [], across: [] };
  const under = reachMm - lengthMm;
  const head = [under - HEAD_HIGH * widthMm, widthMm, under, widthMm];
  return { through: [profile([...head, under, radiusMm, reachMm, radiusMm])], across: [circle(radiusMm)] };
}

/** Of a round thing along x: x and radius from left to right, mirrored. */
function profile(upper: readonly number[]): Float64Array {
  const points = upper.flatMap((value, i) => (i % 2 === 0 ? [[value, upper[i + 1]!]] : []));
  const lower = points.map(([x, r]) => [x!, -r!]).reverse();
  return Float64Array.from([...points, ...lower].flat());
}

function circle(radiusMm: number): Float64Array {
  return Float64Array.from(
    Array.from({ length: CIRCLE_SIDES }, (_, i) => (2 * Math.PI * i) / CIRCLE_SIDES).flatMap((rad) => [
      radiusMm * Math.cos(rad),
      radiusMm * Math.sin(rad),
    ]),
  );
}
