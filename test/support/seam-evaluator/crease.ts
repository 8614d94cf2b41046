// How deep a place lies in a concave crease: how far the surface bends towards itself within a few millimetres.
import { nearFinder } from './exposure.ts';
import type { RefinedModel } from './refined-model.ts';

/** A seam so near a crease is taken to lie in it; farther than REACH_MM it lies beside it, mm from middle to middle. */
const IN_IT_MM = 2;
const REACH_MM = 4;
/** Bent so far, the crease hides the whole line. */
const FULL_RAD = Math.PI / 3;
/** Rounded corners of coarse triangles bend by less than this without being a crease. */
const LEAST_RAD = Math.PI / 36;
/** A lower triangle is a needle: its normal says nothing about the surface. */
const LEAST_HEIGHT_MM = 0.1;

/** 0 to 1 a triangle. The bend to the most bent neighbour on one side plus the bend to the most bent on the other side. */
export function creasesOf(model: RefinedModel): Float64Array {
  const near = nearFinder(model, { withinMm: REACH_MM, leastCosine: -1 });
  const needles = Uint8Array.from(model.areas, (_, t) => (isNeedle(model, t) ? 1 : 0));
  return Float64Array.from(model.areas, (_, t) => (needles[t] === 1 ? 0 : creaseAt(model, t, { near, needles })));
}

function creaseAt(
  model: RefinedModel,
  t: number,
  about: { readonly near: (t: number) => readonly number[]; readonly needles: Uint8Array },
): number {
  const { middles: m, normals: n } = model;
  const bends: { rad: number; x: number; y: number; z: number }[] = [];
  for (const near of about.near(t)) {
    if (near === t || about.needles[near] === 1) continue;
    const [dx, dy, dz] = [m[3 * near]! - m[3 * t]!, m[3 * near + 1]! - m[3 * t + 1]!, m[3 * near + 2]! - m[3 * t + 2]!];
    const [ax, ay, az] = [n[3 * near]! - n[3 * t]!, n[3 * near + 1]! - n[3 * t + 1]!, n[3 * near + 2]! - n[3 * t + 2]!];
    // bent towards itself: going there, the normal turns back
    if (ax * dx + ay * dy + az * dz >= 0) continue;
    const cosine = n[3 * near]! * n[3 * t]! + n[3 * near + 1]! * n[3 * t + 1]! + n[3 * near + 2]! * n[3 * t + 2]!;
    const length = Math.hypot(dx, dy, dz) || 1;
    const rad = Math.acos(Math.max(-1, Math.min(1, cosine))) * Math.min(1, (REACH_MM - length) / (REACH_MM - IN_IT_MM));
    bends.push({ rad, x: dx / length, y: dy / length, z: dz / length });
  }
  let most = { rad: 0, x: 0, y: 0, z: 0 };
  for (const bend of bends) if (bend.rad > most.rad) most = bend;
  let other = 0;
  for (const { rad, x, y, z } of bends) if (rad > other && x * most.x + y * most.y + z * most.z < -0.3) other = rad;
  const rad = most.rad + other;
  return rad <= LEAST_RAD ? 0 : Math.min(1, rad / FULL_RAD);
}

function isNeedle({ mesh, areas }: RefinedModel, t: number): boolean {
  const { positions: p, triangles } = mesh;
  let longest2 = 0;
  for (let k = 0; k < 3; k++) {
    const [a, b] = [3 * triangles[3 * t + k]!, 3 * triangles[3 * t + ((k + 1) % 3)]!];
    longest2 = Math.max(longest2, (p[a]! - p[b]!) ** 2 + (p[a + 1]! - p[b + 1]!) ** 2 + (p[a + 2]! - p[b + 2]!) ** 2);
  }
  return 2 * areas[t]! < LEAST_HEIGHT_MM * Math.sqrt(longest2);
}
