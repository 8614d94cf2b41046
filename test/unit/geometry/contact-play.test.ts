import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../src/base/random.ts';
import { type Contacts, playOf, type SmallMotion } from '../../../src/geometry/contact-play.ts';
import type { Vec3 } from '../../../src/mesh/mesh.ts';
import { applyTransform } from '../../../src/mesh/transform.ts';
import { poseOf } from '../../support/joints/poses.ts';

const contactsOf = (list: readonly (readonly [Vec3, Vec3, number])[]): Contacts => ({
  points: Float64Array.from(list.flatMap(([point]) => point)),
  normals: Float64Array.from(list.flatMap(([, normal]) => normal)),
  gapMm: Float64Array.from(list.map(([, , gap]) => gap)),
});

/** All corners of a block of those half sizes, in a box a gap larger on every side. */
function blockInBox([x, y, z]: Vec3, gap: number): Contacts {
  const list: (readonly [Vec3, Vec3, number])[] = [];
  for (let corner = 0; corner < 8; corner++) {
    const [sx, sy, sz] = [corner & 1 ? 1 : -1, corner & 2 ? 1 : -1, corner & 4 ? 1 : -1];
    const at: Vec3 = [sx * x, sy * y, sz * z];
    list.push([at, [sx, 0, 0], gap], [at, [0, sy, 0], gap], [at, [0, 0, sz], gap]);
  }
  return contactsOf(list);
}

const watch = (at: Vec3, along: Vec3) => ({ points: Float64Array.from(at), directions: Float64Array.from(along) });
const Z: Vec3 = [0, 0, 1];

describe('play', () => {
  it('of a block in a box, pressed: the corner turns the most, and by hand it is so much', () => {
    // Half 50 x 10, gap 0.2: a turn w needs 10 w + |x| <= 0.2 and 50 w + |y| <= 0.2; at x = 150, across: y + 150 w <= 0.2 + 100 w, w <= 0.004.
    const play = playOf(blockInBox([50, 10, 5], 0.2), watch([150, 0, 0], [0, 1, 0]), { pressed: Z });
    expect(play.misfitMm).toBeCloseTo(0.6, 9);
    expect(play.held).toBe(true);
    expect(play.motion!.turnRad[2]).toBeCloseTo(0.004 * Math.sign(play.motion!.turnRad[2]), 9);
    expect(play.secondOrderMm).toBeCloseTo((0.004 ** 2 * 150) / 2, 9);
  });

  it('in all six ways the same block also tips', () => {
    const free = playOf(blockInBox([50, 10, 5], 0.2), watch([150, 0, 0], Z), { pressed: null });
    expect(free.misfitMm).toBeCloseTo(0.6, 9);
    expect(free.held).toBe(true);
  });

  it('grows with the gaps, in proportion', () => {
    const [small, large] = [0.1, 0.3].map((gap) =>
      playOf(blockInBox([40, 30, 5], gap), watch([70, -20, 3], [0.6, 0.8, 0]), { pressed: Z }),
    );
    expect(large!.misfitMm / small!.misfitMm).toBeCloseTo(3, 9);
  });

  it('what slides along the seam is not held, though its step across may be', () => {
    const slot = contactsOf([
      [[-20, 0, 0], [0, 1, 0], 0.2],
      [[20, 0, 0], [0, 1, 0], 0.2],
      [[-20, 0, 0], [0, -1, 0], 0.2],
      [[20, 0, 0], [0, -1, 0], 0.2],
    ]);
    const play = playOf(slot, watch([20, 0, 0], [0, 1, 0]), { pressed: Z });
    expect(play.held).toBe(false);
    expect(play.misfitMm).toBeCloseTo(0.2, 9);
    expect(play.secondOrderMm).toBe(Infinity);
    expect(playOf(slot, watch([20, 0, 0], [1, 0, 0]), { pressed: Z })).toMatchObject({
      misfitMm: Infinity,
      motion: null,
    });
  });

  it('contacts that look the way it is pressed do not hold it, nor does nothing at all', () => {
    const face = contactsOf([[[0, 0, 0], [1e-9, 0, -1], 0]]);
    expect(playOf(face, watch([0, 0, 0], [1, 0, 0]), { pressed: Z }).misfitMm).toBe(Infinity);
    expect(playOf(contactsOf([]), watch([5, 0, 0], [1, 0, 0]), { pressed: Z }).held).toBe(false);
  });

  it('a press fit leaves nothing', () => {
    expect(playOf(blockInBox([50, 10, 5], -0.1), watch([150, 0, 0], [0, 1, 0]), { pressed: Z }).misfitMm).toBeCloseTo(
      0,
      9,
    );
  });

  it('the true motion breaks no contact by more than the second order, in any pose', () => {
    const random = randomStream(31);
    for (let i = 0; i < 40; i++) {
      const contacts = blockInBox([10 + 90 * random(), 5 + 20 * random(), 2 + 5 * random()], 0.1 + 0.5 * random());
      const edge = watch([200 * random() - 100, 100, 5], [random(), random(), 0.1]);
      const { motion, secondOrderMm } = playOf(contacts, edge, { pressed: i % 2 === 0 ? Z : null });
      expect(mostBroken(contacts, motion!)).toBeLessThan(secondOrderMm + 1e-9);
    }
  });
});

function mostBroken({ points: p, normals: m, gapMm }: Contacts, motion: SmallMotion): number {
  let most = 0;
  gapMm.forEach((gap, i) => {
    const at: Vec3 = [p[i * 3]!, p[i * 3 + 1]!, p[i * 3 + 2]!];
    const there = applyTransform(poseOf(motion), at);
    const went = [0, 1, 2].reduce((sum, k) => sum + (there[k]! - at[k]!) * m[i * 3 + k]!, 0);
    most = Math.max(most, went - gap);
  });
  return most;
}
