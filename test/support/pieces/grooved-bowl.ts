// A double-walled bowl whose outside carries one groove that waves up and down: where a seam should go is known by formula.
import { type Mesh, meshOf } from '../../../src/mesh/mesh.ts';

export interface GroovedBowl {
  readonly mesh: Mesh;
  /** Height of the groove at an angle about z. */
  readonly grooveMm: (angle: number) => number;
  /** Per triangle: 1 on the outside. */
  readonly isOuter: Uint8Array;
  /** Per triangle: 0.1 in the groove, 1 elsewhere on the outside. */
  readonly price: Float32Array;
}

export const GROOVE = { heightMm: 56, waveMm: 6, waves: 3, halfMm: 1.6, deepMm: 1.2, cheap: 0.1 } as const;

const ROWS = 60;

/** Radius 100 mm, 120 mm high, wall 4 mm, open at both ends, edges of about 2 mm. */
export function groovedBowl(waveMm: number = GROOVE.waveMm): GroovedBowl {
  const up = Array.from({ length: ROWS + 1 }, (_, k) => (120 * k) / ROWS);
  const profile = [...up.map((z) => [100, z] as const), ...up.map((z) => [96, 120 - z] as const)];
  const mesh = tube(profile, 300);
  const grooveMm = (angle: number): number => GROOVE.heightMm + waveMm * Math.sin(GROOVE.waves * angle);
  const positions = mesh.positions.slice();
  for (let i = 0; i < positions.length; i += 3) {
    const [x, y, z] = [positions[i]!, positions[i + 1]!, positions[i + 2]!];
    const r = Math.hypot(x, y);
    if (r < 99) continue;
    const off = (z - grooveMm(Math.atan2(y, x))) / GROOVE.halfMm;
    const share = (r - GROOVE.deepMm * Math.exp(-off * off)) / r;
    positions[i] = x * share;
    positions[i + 1] = y * share;
  }
  const num = mesh.triangles.length / 3;
  const isOuter = new Uint8Array(num);
  const price = new Float32Array(num);
  for (let tri = 0; tri < num; tri++) {
    const mean = [0, 1, 2].map(
      (k) => [0, 1, 2].reduce((sum, c) => sum + positions[mesh.triangles[tri * 3 + c]! * 3 + k]!, 0) / 3,
    ) as [number, number, number];
    if (Math.hypot(mean[0], mean[1]) < 98) continue;
    isOuter[tri] = 1;
    price[tri] = Math.abs(mean[2] - grooveMm(Math.atan2(mean[1], mean[0]))) < GROOVE.halfMm ? GROOVE.cheap : 1;
  }
  return { mesh: { ...mesh, positions }, grooveMm, isOuter, price };
}

/** A closed profile (radius, z), counter-clockwise with the radius to the right, turned about z. */
function tube(profile: readonly (readonly [number, number])[], around: number): Mesh {
  const positions: number[] = [];
  for (const [r, z] of profile) {
    for (let i = 0; i < around; i++) {
      const angle = (2 * Math.PI * i) / around;
      positions.push(r * Math.cos(angle), r * Math.sin(angle), z);
    }
  }
  const triangles: number[] = [];
  const at = (row: number, i: number): number => (row % profile.length) * around + (i % around);
  for (let row = 0; row < profile.length; row++)
    for (let i = 0; i < around; i++) {
      triangles.push(at(row, i), at(row, i + 1), at(row + 1, i + 1));
      triangles.push(at(row, i), at(row + 1, i + 1), at(row + 1, i));
    }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}
