// Outside and inside of shells whose answer is plain to the eye, and how much is looked at.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../../src/base/work.ts';
import { surfaceSamples } from '../../../../../src/geometry/surface-patches.ts';
import { bowl, icoSphere, turned } from '../../../../../src/mesh/builders.ts';
import type { Mesh } from '../../../../../src/mesh/mesh.ts';
import { outsideView, VIEW_DEFAULTS } from '../../../../../src/workshop/pieces/price/outside-view.ts';

/** Share of the area where `isTrue` says so that is told as outside. */
function outerShare(mesh: Mesh, isTrue: (at: readonly number[], normal: readonly number[]) => boolean): number {
  const samples = surfaceSamples(mesh, QUIET_WORK, { aimNum: 2500 });
  const { isOuter } = outsideView(mesh, samples, QUIET_WORK);
  let [outer, all] = [0, 0];
  for (let i = 0; i < samples.num; i++) {
    const three = (of: Float64Array): number[] => [...of.slice(i * 3, i * 3 + 3)];
    if (!isTrue(three(samples.middles), three(samples.normals))) continue;
    all += samples.areaMm2[i]!;
    outer += samples.areaMm2[i]! * isOuter[i]!;
  }
  return outer / all;
}

const outwards = (at: readonly number[], n: readonly number[]): number => at[0]! * n[0]! + at[1]! * n[1]!;

/** A dome on a neck, its wall 3 mm, with a brim of 50 mm round it; open below. */
function hatMesh(): Mesh {
  const profile: number[] = [];
  const put = (r: number, z: number): void => void profile.push(r, z);
  const arc = (r: number, deg: number): void => {
    const rad = (deg * Math.PI) / 180;
    put(deg === 90 ? 0 : r * Math.cos(rad), 103 + r * Math.sin(rad));
  };
  for (let z = 0; z <= 100; z += 5) put(90, z);
  for (let r = 95; r <= 140; r += 5) put(r, 100);
  put(140, 103);
  for (let r = 135; r >= 90; r -= 5) put(r, 103);
  for (let deg = 5; deg <= 90; deg += 5) arc(90, deg);
  for (let deg = 90; deg >= 0; deg -= 5) arc(87, deg);
  for (let z = 100; z >= 0; z -= 5) put(87, z);
  return turned(profile, { around: 120, ends: 'joined' });
}

describe('outside and inside', () => {
  it('of a bowl: outside all round, inside even at the rim, where it sees out as much as in', () => {
    const mesh = bowl({ outerMm: 100, wallMm: 3 }, 24);
    expect(outerShare(mesh, (at, n) => outwards(at, n) + at[2]! * n[2]! > 50)).toBeGreaterThan(0.99);
    expect(outerShare(mesh, (at, n) => outwards(at, n) + at[2]! * n[2]! < -50)).toBeLessThan(0.01);
  });

  it('of a hat: both sides of the brim are outside, the neck within is not', () => {
    const mesh = hatMesh();
    const onBrim = (at: readonly number[]): boolean => Math.hypot(at[0]!, at[1]!) > 96;
    expect(outerShare(mesh, (at) => onBrim(at))).toBeGreaterThan(0.97);
    expect(outerShare(mesh, (at, n) => !onBrim(at) && outwards(at, n) > 40)).toBeGreaterThan(0.99);
    expect(outerShare(mesh, (at, n) => !onBrim(at) && outwards(at, n) < -40)).toBeLessThan(0.02);
  });

  it('of a solid: all of it is outside', () => {
    expect(outerShare(icoSphere(60, 4), () => true)).toBe(1);
  });
});

describe('how much is looked at', () => {
  const mesh = icoSphere(60, 4);
  const samples = surfaceSamples(mesh, QUIET_WORK, { aimNum: 2500 });

  function seenTowards(view: ReturnType<typeof outsideView>, way: readonly number[]): number {
    let [best, most] = [0, -Infinity];
    for (let i = 0; i < samples.num; i++) {
      const along = way.reduce((sum, v, c) => sum + v * samples.normals[i * 3 + c]!, 0);
      if (along > most) [best, most] = [i, along];
    }
    return view.seen[best]!;
  }

  it('is most at the front, less at the sides and behind, least below', () => {
    const view = outsideView(mesh, samples, QUIET_WORK);
    const [front, side, back] = [
      [0, -1, 0],
      [1, 0, 0],
      [0, 1, 0],
    ].map((way) => seenTowards(view, way)) as [number, number, number];
    expect(front).toBeGreaterThan(0.95);
    expect(side).toBeLessThan(front);
    expect(back).toBeLessThan(side);
  });

  it('is even when all directions count alike', () => {
    const even = { front: 1, sides: 1, back: 1, above: 1, below: 1 };
    const view = outsideView(mesh, samples, QUIET_WORK, { ...VIEW_DEFAULTS, viewers: even });
    expect(Math.min(...view.seen)).toBeGreaterThan(0.999);
  });

  it('is nothing where nobody looks from anywhere', () => {
    const nobody = { front: 0, sides: 0, back: 0, above: 0, below: 0 };
    const view = outsideView(mesh, samples, QUIET_WORK, { ...VIEW_DEFAULTS, viewers: nobody });
    expect(Math.max(...view.seen)).toBe(0);
  });
});
