// How much of each layer lies open to the air above or below within a few layers: what closing layers must cover.
import { QUIET_WORK, type Work } from '../base/work.ts';
import type { Mesh } from '../mesh/mesh.ts';

export interface ClosingOptions {
  /** Heights at which the layers are measured, rising, mm. */
  readonly middleMm: Float64Array;
  readonly numClosing: number;
  /** Height of a layer, mm. */
  readonly stepMm: number;
  /** Width along every contour that contour passes fill anyway, mm. */
  readonly edgeMm: number;
}

/** Area (mm2, numLayers) that lies open from above or below within `numClosing` layers and inside the contour passes.
 *  A facet's projected area is shared among the gaps between layer middles by height, exactly; of a slope that the closing
 *  layers would see as a strip numClosing * stepMm / tan(slope) wide, the passes' width is left out.
 *  Cost: O(numTris + gaps met by flat facets). docs/methods/layer-measures.md. Weak: places open from above and below at
 *  once count twice (the caller bounds by the area that is left), and material that begins again within the band is unseen. */
export function closingAreas(mesh: Mesh, options: ClosingOptions, work: Work = QUIET_WORK): Float64Array {
  const numLayers = options.middleMm.length;
  const up = new Float64Array(numLayers + 1);
  const down = new Float64Array(numLayers + 1);
  if (options.numClosing > 0) shareFacets(mesh, options, { up, down }, work);
  const areaMm2 = new Float64Array(numLayers);
  const n = options.numClosing;
  for (let gap = 0; gap <= numLayers; gap++) {
    for (let k = Math.max(0, gap - n); k < gap; k++) areaMm2[k]! += up[gap]!;
    for (let k = gap; k < Math.min(numLayers, gap + n); k++) areaMm2[k]! += down[gap]!;
  }
  return areaMm2;
}

/** Gap g lies between middle g - 1 and middle g. */
function shareFacets(
  mesh: Mesh,
  options: ClosingOptions,
  gaps: { up: Float64Array; down: Float64Array },
  work: Work,
): void {
  const { positions: p, triangles } = mesh;
  const { middleMm, edgeMm } = options;
  const bandMm = options.numClosing * options.stepMm;
  for (let t = 0; t < triangles.length; t += 3) {
    if ((t & 0x3ffff) === 0) work.tick(t / triangles.length, 'finding open tops and bottoms');
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ex = p[b]! - p[a]!;
    const ey = p[b + 1]! - p[a + 1]!;
    const ez = p[b + 2]! - p[a + 2]!;
    const fx = p[c]! - p[a]!;
    const fy = p[c + 1]! - p[a + 1]!;
    const fz = p[c + 2]! - p[a + 2]!;
    const nz = ex * fy - ey * fx;
    if (nz === 0) continue;
    const nx = ey * fz - ez * fy;
    const ny = ez * fx - ex * fz;
    const flat = Math.abs(nz);
    const open = 1 - (edgeMm * Math.sqrt(nx * nx + ny * ny)) / (flat * bandMm);
    if (open <= 0) continue;
    const gap = nz > 0 ? gaps.up : gaps.down;
    shareByHeight(p[a + 2]!, p[b + 2]!, p[c + 2]!, { middleMm, gap, area: (flat / 2) * open });
  }
}

function shareByHeight(
  za: number,
  zb: number,
  zc: number,
  into: { middleMm: Float64Array; gap: Float64Array; area: number },
): void {
  const { middleMm, gap, area } = into;
  const low = Math.min(za, zb, zc);
  const high = Math.max(za, zb, zc);
  const mid = za + zb + zc - low - high;
  let g = gapAt(middleMm, low);
  let before = 0;
  while (g < middleMm.length && middleMm[g]! < high) {
    const below = shareBelow(middleMm[g]!, low, mid, high);
    gap[g]! += area * (below - before);
    before = below;
    g++;
  }
  gap[g]! += area * (1 - before);
}

/** Share of a triangle that lies below z, its corners at low <= mid <= high. */
function shareBelow(z: number, low: number, mid: number, high: number): number {
  if (z <= low) return 0;
  if (z >= high) return 1;
  if (z < mid) return ((z - low) * (z - low)) / ((mid - low) * (high - low));
  return 1 - ((high - z) * (high - z)) / ((high - mid) * (high - low));
}

/** Number of middles at or below z. */
function gapAt(middleMm: Float64Array, z: number): number {
  let from = 0;
  let to = middleMm.length;
  while (from < to) {
    const m = (from + to) >> 1;
    if (middleMm[m]! <= z) from = m + 1;
    else to = m;
  }
  return from;
}
