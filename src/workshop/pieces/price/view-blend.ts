// The view of a shell's samples carried over to its triangles, evenly from one sample to the next.
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import { type Mesh, NONE } from '../../../mesh/mesh.ts';
import type { OutsideView } from './outside-view.ts';
import { LOOKED_FROM } from './view-weights.ts';

/** A sample's view counts less the farther it is, and nothing at this many spacings: more than the way to the next sample. */
const BLEND_SPACINGS = 1.7;
/** A triangle of a sample lies no farther from its middle. */
const OWN_SPACINGS = 0.9;
const WIDTH = LOOKED_FROM.length;

/** What the view at the middle of a triangle is: the five parts of LOOKED_FROM, in the same array every time. Mean over its sample and that
 *  sample's neighbours on the outside, weighted by nearness and by how alike they face. A triangle wider than a sample has the mean of all
 *  samples that lie on it alone. normals: see areaNormals. Cost: O(neighbours of a sample) a triangle. */
export function viewBlend(
  mesh: Mesh,
  normals: Float64Array,
  samples: SurfaceSamples,
  view: OutsideView,
): (tri: number) => Float64Array {
  const { positions: p, triangles: t } = mesh;
  const { middles: m, normals: facing } = samples;
  const { start, near } = outerNeighbours(samples, view);
  const wide = wideTriangles(mesh, samples, view);
  const reach2 = (BLEND_SPACINGS * samples.spacingMm) ** 2;
  const out = new Float64Array(WIDTH);
  return (tri) => {
    const known = wide.get(tri);
    if (known !== undefined) return known;
    const a = t[tri * 3]! * 3;
    const b = t[tri * 3 + 1]! * 3;
    const c = t[tri * 3 + 2]! * 3;
    const x = (p[a]! + p[b]! + p[c]!) / 3;
    const y = (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3;
    const z = (p[a + 2]! + p[b + 2]! + p[c + 2]!) / 3;
    const nx = normals[tri * 3]!;
    const ny = normals[tri * 3 + 1]!;
    const nz = normals[tri * 3 + 2]!;
    const length2 = nx * nx + ny * ny + nz * nz || 1;
    const own = samples.triSample[tri]!;
    // the own sample counts a little from anywhere, so that there is always one
    let total = 1e-3;
    for (let k = 0; k < WIDTH; k++) out[k] = 1e-3 * view.from[own * WIDTH + k]!;
    for (let i = start[own]!; i < start[own + 1]!; i++) {
      const s = near[i]!;
      const dx = m[s * 3]! - x;
      const dy = m[s * 3 + 1]! - y;
      const dz = m[s * 3 + 2]! - z;
      const close = 1 - (dx * dx + dy * dy + dz * dz) / reach2;
      if (close <= 0) continue;
      const alike = facing[s * 3]! * nx + facing[s * 3 + 1]! * ny + facing[s * 3 + 2]! * nz;
      if (alike <= 0) continue;
      const weight = (close * close * alike * alike) / length2;
      total += weight;
      for (let k = 0; k < WIDTH; k++) out[k] = out[k]! + weight * view.from[s * WIDTH + k]!;
    }
    for (let k = 0; k < WIDTH; k++) out[k] = out[k]! / total;
    return out;
  };
}

/** Per sample, itself and its neighbours as far as they are outside and may count: each once. */
function outerNeighbours(
  samples: SurfaceSamples,
  { isOuter }: OutsideView,
): { readonly start: Uint32Array; readonly near: Uint32Array } {
  const { middles: m, normals: n, neighbours, neighbourStart } = samples;
  const reach2 = ((BLEND_SPACINGS + OWN_SPACINGS) * samples.spacingMm) ** 2;
  const start = new Uint32Array(samples.num + 1);
  const near: number[] = [];
  const taken = new Int32Array(samples.num).fill(NONE);
  const take = (own: number, s: number): void => {
    if (isOuter[s] === 0 || taken[s] === own) return;
    taken[s] = own;
    let [apart2, alike] = [0, 0];
    for (let c = 0; c < 3; c++) {
      apart2 += (m[s * 3 + c]! - m[own * 3 + c]!) ** 2;
      alike += n[s * 3 + c]! * n[own * 3 + c]!;
    }
    // a sample's triangles face within some 55 degrees of it
    if (apart2 < reach2 && alike > -0.9) near.push(s);
  };
  for (let own = 0; own < samples.num; own++) {
    take(own, own);
    for (let k = neighbourStart[own]!; k < neighbourStart[own + 1]!; k++) take(own, neighbours[k]!);
    start[own + 1] = near.length;
  }
  return { start, near: Uint32Array.from(near) };
}

/** Triangles wider than a sample, with the mean view of the samples on them. */
function wideTriangles(mesh: Mesh, samples: SurfaceSamples, view: OutsideView): Map<number, Float64Array> {
  const out = new Map<number, Float64Array>();
  const area = new Map<number, number>();
  for (let s = 0; s < samples.num; s++) {
    const tri = samples.sampleTri[s]!;
    if (view.isOuter[s] === 0 || !isWide(mesh, tri, samples.spacingMm)) continue;
    const sum = out.get(tri) ?? new Float64Array(WIDTH);
    for (let k = 0; k < WIDTH; k++) sum[k] = sum[k]! + samples.areaMm2[s]! * view.from[s * WIDTH + k]!;
    out.set(tri, sum);
    area.set(tri, (area.get(tri) ?? 0) + samples.areaMm2[s]!);
  }
  for (const [tri, sum] of out) for (let k = 0; k < WIDTH; k++) sum[k] = sum[k]! / area.get(tri)!;
  return out;
}

function isWide({ positions: p, triangles: t }: Mesh, tri: number, spacingMm: number): boolean {
  let longest2 = 0;
  for (let c = 0; c < 3; c++) {
    const a = t[tri * 3 + c]! * 3;
    const b = t[tri * 3 + ((c + 1) % 3)]! * 3;
    longest2 = Math.max(longest2, (p[a]! - p[b]!) ** 2 + (p[a + 1]! - p[b + 1]!) ** 2 + (p[a + 2]! - p[b + 2]!) ** 2);
  }
  return longest2 > spacingMm * spacingMm;
}
