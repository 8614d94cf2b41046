// Size, area and volume of a mesh, in linear passes.
import type { Bounds, Mesh, Vec3 } from './mesh.ts';

/** Smallest box around all positions, mm. An empty mesh gives an inverted box (+Infinity, -Infinity). Cost: O(n). */
export function bounds(mesh: Mesh): Bounds {
  const { positions } = mesh;
  let [x0, y0, z0] = [Infinity, Infinity, Infinity];
  let [x1, y1, z1] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]!;
    const y = positions[i + 1]!;
    const z = positions[i + 2]!;
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
    if (z < z0) z0 = z;
    if (z > z1) z1 = z;
  }
  return { minMm: [x0, y0, z0], maxMm: [x1, y1, z1] };
}

export function sizeOf(box: Bounds): Vec3 {
  return [box.maxMm[0] - box.minMm[0], box.maxMm[1] - box.minMm[1], box.maxMm[2] - box.minMm[2]];
}

export function middleOf(box: Bounds): Vec3 {
  return [(box.maxMm[0] + box.minMm[0]) / 2, (box.maxMm[1] + box.minMm[1]) / 2, (box.maxMm[2] + box.minMm[2]) / 2];
}

/** Sum of triangle areas, mm2. Cost: O(n). */
export function surfaceArea(mesh: Mesh): number {
  const { triangles } = mesh;
  let sum = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [x, y, z] = crossOf(mesh, t);
    sum += Math.sqrt(x * x + y * y + z * z);
  }
  return sum / 2;
}

/** Signed volume, mm3: positive when a closed mesh faces outward. Summed about the middle of the box, so that a model far
 *  from the origin keeps its digits. Cost: O(n). Method: divergence theorem over tetrahedra. */
export function volume(mesh: Mesh): number {
  return momentsOf(mesh).volumeMm3;
}

/** Centre of mass of the enclosed solid, mm; the middle of the box when the volume vanishes. Cost: O(n). */
export function centreOfMass(mesh: Mesh): Vec3 {
  const { volumeMm3, about, first } = momentsOf(mesh);
  if (Math.abs(volumeMm3) < 1e-12) return about;
  return [about[0] + first[0] / volumeMm3, about[1] + first[1] / volumeMm3, about[2] + first[2] / volumeMm3];
}

/** Area-weighted directions: cross products of two sides (length = twice the area), numTris x 3. Cost: O(n). */
export function areaNormals(mesh: Mesh): Float64Array {
  const out = new Float64Array(mesh.triangles.length);
  for (let t = 0; t < out.length; t += 3) {
    const [x, y, z] = crossOf(mesh, t);
    out[t] = x;
    out[t + 1] = y;
    out[t + 2] = z;
  }
  return out;
}

function crossOf({ positions, triangles }: Mesh, t: number): Vec3 {
  const a = triangles[t]! * 3;
  const b = triangles[t + 1]! * 3;
  const c = triangles[t + 2]! * 3;
  const ux = positions[b]! - positions[a]!;
  const uy = positions[b + 1]! - positions[a + 1]!;
  const uz = positions[b + 2]! - positions[a + 2]!;
  const vx = positions[c]! - positions[a]!;
  const vy = positions[c + 1]! - positions[a + 1]!;
  const vz = positions[c + 2]! - positions[a + 2]!;
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

function momentsOf(mesh: Mesh): { volumeMm3: number; about: Vec3; first: Vec3 } {
  const { positions, triangles } = mesh;
  const about = positions.length === 0 ? ([0, 0, 0] as const) : middleOf(bounds(mesh));
  let [sum, mx, my, mz] = [0, 0, 0, 0];
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ax = positions[a]! - about[0];
    const ay = positions[a + 1]! - about[1];
    const az = positions[a + 2]! - about[2];
    const bx = positions[b]! - about[0];
    const by = positions[b + 1]! - about[1];
    const bz = positions[b + 2]! - about[2];
    const cx = positions[c]! - about[0];
    const cy = positions[c + 1]! - about[1];
    const cz = positions[c + 2]! - about[2];
    const six = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
    sum += six;
    mx += six * (ax + bx + cx);
    my += six * (ay + by + cy);
    mz += six * (az + bz + cz);
  }
  return { volumeMm3: sum / 6, about, first: [mx / 24, my / 24, mz / 24] };
}
