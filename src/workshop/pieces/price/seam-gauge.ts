// What a cut's seam costs on the shell itself, not on its samples: a groove is narrower than a sample, and seams should find it.
import {
  addPriceCurve,
  type LineEnd,
  type PricedBand,
  type PricedLine,
  pricedBand,
  pricedLine,
} from '../../../geometry/line-price.ts';
import type { Plane } from '../../../geometry/plane.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';

/** The shell's outside in the order of its samples, so that what lies near a plane is found without reading the whole. */
export interface PricedShell {
  readonly mesh: Mesh;
  readonly price: Float32Array;
  readonly samples: SurfaceSamples;
  /** Triangles of sample s that cost anything: tris[start[s] .. start[s + 1]). */
  readonly start: Uint32Array;
  readonly tris: Int32Array;
  /** Per sample, how far its triangles reach from its middle, mm. */
  readonly reachMm: Float64Array;
}

/** What has to be known of the part that a plane cuts. */
export interface GaugedPart {
  readonly samples: Int32Array;
  /** Planes that made it. */
  readonly bounds: readonly LineEnd[];
  readonly centreMm: Vec3;
}

/** Cost: O(numTris). */
export function pricedShell(mesh: Mesh, price: Float32Array, samples: SurfaceSamples): PricedShell {
  const start = new Uint32Array(samples.num + 1);
  const { triSample, middles } = samples;
  for (let tri = 0; tri < price.length; tri++) {
    if (price[tri]! > 0) start[triSample[tri]! + 1] = start[triSample[tri]! + 1]! + 1;
  }
  for (let s = 0; s < samples.num; s++) start[s + 1] = start[s + 1]! + start[s]!;
  const next = start.slice();
  const tris = new Int32Array(start[samples.num]!);
  const reachMm = new Float64Array(samples.num);
  const { positions: p, triangles: t } = mesh;
  for (let tri = 0; tri < price.length; tri++) {
    if (price[tri]! <= 0) continue;
    const s = triSample[tri]!;
    tris[next[s]!] = tri;
    next[s] = next[s]! + 1;
    for (let corner = 0; corner < 3; corner++) {
      const v = t[tri * 3 + corner]! * 3;
      const x = p[v]! - middles[s * 3]!;
      const y = p[v + 1]! - middles[s * 3 + 1]!;
      const z = p[v + 2]! - middles[s * 3 + 2]!;
      reachMm[s] = Math.max(reachMm[s]!, Math.sqrt(x * x + y * y + z * z));
    }
  }
  return { mesh, price, samples, start, tris, reachMm };
}

/** The outside of a part within some millimetres of a plane. A triangle counts to the part when its sample does, or a neighbour of its
 *  sample: near the part's own edges the planes that made it decide. `most`: of more triangles only every second, third ... is
 *  taken, for a look that need not be exact. */
export function bandOf(
  shell: PricedShell,
  part: GaugedPart,
  plane: Plane,
  { withinMm, most = Infinity }: { readonly withinMm: number; readonly most?: number },
): PricedBand {
  const { samples, start, tris, reachMm } = shell;
  const near = samplesNear(shell, part, plane, withinMm);
  let num = 0;
  for (const s of near) num += start[s + 1]! - start[s]!;
  const stride = Math.max(1, Math.ceil(num / most));
  const kept = new Int32Array(Math.ceil(num / stride));
  let seen = 0;
  let filled = 0;
  for (const s of near) {
    const isWithin = part.bounds.every((bound) => isFarInside(samples, s, bound, reachMm[s]!));
    for (let k = start[s]!; k < start[s + 1]!; k++) {
      if (seen++ % stride !== 0) continue;
      if (isWithin || isInside(shell.mesh, tris[k]!, part.bounds)) kept[filled++] = tris[k]!;
    }
  }
  return pricedBand(shell.mesh, shell.price, kept.subarray(0, filled), { middle: part.centreMm, share: 1 / stride });
}

/** Samples of the part and their neighbours that reach into the band. */
function samplesNear(
  { samples, start, reachMm }: PricedShell,
  part: GaugedPart,
  plane: Plane,
  withinMm: number,
): number[] {
  const isTaken = new Uint8Array(samples.num);
  const out: number[] = [];
  const take = (s: number) => {
    if (isTaken[s] === 1) return;
    isTaken[s] = 1;
    if (start[s + 1] === start[s]) return;
    if (Math.abs(heightOf(samples, s, plane)) < withinMm + reachMm[s]!) out.push(s);
  };
  const farMm = withinMm + 4 * samples.spacingMm;
  for (const s of part.samples) {
    if (Math.abs(heightOf(samples, s, plane)) > farMm) continue;
    take(s);
    for (let k = samples.neighbourStart[s]!; k < samples.neighbourStart[s + 1]!; k++) take(samples.neighbours[k]!);
  }
  return out;
}

function heightOf({ middles: m }: SurfaceSamples, s: number, { normal, offsetMm }: Plane): number {
  return m[s * 3]! * normal[0] + m[s * 3 + 1]! * normal[1] + m[s * 3 + 2]! * normal[2] - offsetMm;
}

function isFarInside(samples: SurfaceSamples, s: number, { plane, side }: LineEnd, reachMm: number): boolean {
  const height = heightOf(samples, s, plane);
  return side === 0 ? height < -reachMm : height > reachMm;
}

/** Whether any corner lies within all half spaces: such a triangle may carry a stretch of the line. */
function isInside({ positions: p, triangles: t }: Mesh, tri: number, ends: readonly LineEnd[]): boolean {
  return ends.every(({ plane: { normal, offsetMm }, side }) => {
    for (let corner = 0; corner < 3; corner++) {
      const v = t[tri * 3 + corner]! * 3;
      const height = p[v]! * normal[0] + p[v + 1]! * normal[1] + p[v + 2]! * normal[2] - offsetMm;
      if (side === 0 ? height < 0 : height > 0) return true;
    }
    return false;
  });
}

/** The seam of one plane in a part, exactly. */
export function seamLine(shell: PricedShell, part: GaugedPart, plane: Plane): PricedLine {
  return pricedLine(bandOf(shell, part, plane, { withinMm: 0 }), plane, part.bounds);
}

/** Cost of the seam at offsets fromMm + k stepMm of one direction, of several bands together. */
export function priceCurve(
  bands: readonly PricedBand[],
  normal: Vec3,
  at: { readonly firstMm: number; readonly stepMm: number; readonly num: number },
): Float64Array {
  const out = new Float64Array(at.num);
  for (const band of bands) addPriceCurve(band, normal, at, out);
  return out;
}
