// Which surface is outside and how much of it is looked at: what makes a millimetre of seam dear or cheap.
import type { SurfaceSamples } from '../../geometry/surface-samples.ts';

export interface OutsideView {
  /** Per sample, 1 on the outside. */
  readonly isOuter: Uint8Array;
  /** Per sample, 0 to 1: how much it is looked at; 0 inside. */
  readonly seen: Float64Array;
}

/** How much viewers look at a face turned this way: people stand in front, less at the sides and behind, few look from above and
 *  hardly any from below. Common practice, no source. */
export function lookedAt(nx: number, ny: number, nz: number): number {
  const level = Math.hypot(nx, ny);
  const front = level > 0 ? -ny / level : 0;
  const around = front >= 0 ? 0.75 + 0.25 * front : 0.75 + 0.2 * front;
  return nz >= 0 ? level * around + (1 - level) * 0.5 : level * around + (1 - level) * 0.08;
}

/** A simplification: outside is what faces away from the middle of the shell; the view is that of the bare direction. */
export function outsideView(samples: SurfaceSamples): OutsideView {
  const isOuter = new Uint8Array(samples.num);
  const seen = new Float64Array(samples.num);
  const middle = [0, 0, 0];
  let area = 0;
  for (let i = 0; i < samples.num; i++) {
    area += samples.areaMm2[i]!;
    for (let c = 0; c < 3; c++) middle[c] = middle[c]! + samples.areaMm2[i]! * samples.points[i * 3 + c]!;
  }
  for (let i = 0; i < samples.num; i++) {
    let out = 0;
    for (let c = 0; c < 3; c++) out += samples.normals[i * 3 + c]! * (samples.points[i * 3 + c]! - middle[c]! / area);
    if (out <= 0) continue;
    isOuter[i] = 1;
    seen[i] = lookedAt(samples.normals[i * 3]!, samples.normals[i * 3 + 1]!, samples.normals[i * 3 + 2]!);
  }
  return { isOuter, seen };
}
