import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../../../src/base/random.ts';
import { box } from '../../../../../src/mesh/builders.ts';
import type { Vec3 } from '../../../../../src/mesh/mesh.ts';
import { jointPlay } from '../../../../../src/workshop/pieces/joints/joint-play.ts';
import type { KeySolids } from '../../../../../src/workshop/pieces/joints/key-solids.ts';
import { SIDE_INNER } from '../../../../../src/workshop/pieces/joints/seam-section.ts';
import { LOOSE_MM } from '../../../../../src/workshop/process/joints-record.ts';
import { randomJoint } from '../../../../support/joints/random-joint.ts';

const { section: any, keys } = randomJoint(randomStream(2));
/** A wall of 100 x 3 along x, outside at y = -3; the seam is z = 0. */
const section = {
  ...any,
  origin: [0, 0, 0],
  u: [1, 0, 0],
  v: [0, 1, 0],
  n: [0, 0, 1],
  loops: [
    {
      points: Float64Array.of(0, -3, 0, 100, -3, 0, 100, 0, 0, 0, 0, 0),
      flat: Float64Array.of(0, -3, 100, -3, 100, 0, 0, 0),
      sides: Uint8Array.of(0, 2, 1, 2),
    },
  ],
} as const;

type Contact = readonly [point: Vec3, normal: Vec3, gapMm: number];

function keyWith(contacts: readonly Contact[], carrier: 'A' | 'B'): KeySolids {
  const key = { ...keys[0]!.key, carrier, receiver: carrier === 'A' ? 'B' : 'A' };
  return {
    ...keys[0]!,
    key,
    contacts: {
      points: Float64Array.from(contacts.flatMap(([point]) => point)),
      normals: Float64Array.from(contacts.flatMap(([, normal]) => normal)),
      gapMm: Float64Array.from(contacts.map(([, , gap]) => gap)),
    },
  };
}

/** Stands at x, held along the seam both ways and from going outward. */
const tabAt = (x: number, gap: number): Contact[] => [
  [[x, 0, 0], [0, -1, 0], gap],
  [[x, 0, 0], [1, 0, 0], gap],
  [[x, 0, 0], [-1, 0, 0], gap],
];

describe('the play of a joint', () => {
  it('tabs of both pieces by turns hold each other, and the end farthest from them is off the most', () => {
    // Each of A's tabs keeps B from going inward, each of B's from going outward; by turns at 20, 40, 60, 80. A turn w about 50 with shift y:
    // B's (20, 60): y - 30 w >= -0.2, y + 10 w >= -0.2; A's (40, 80): y - 10 w <= 0.2, y + 30 w <= 0.2.
    const turns = [20, 40, 60, 80].map((x, i) => keyWith(tabAt(x, 0.2), i % 2 === 0 ? 'B' : 'A'));
    const play = jointPlay([{ section: section, keys: turns }], section, { toleranceMm: 0.1 })!;
    expect(play.held).toBe(true);
    // The worst is at x = 0 or 100 (y +- 50 w) with w at its end: w = -0.02, y = 0 by the middle two, so 1.0 mm; by hand.
    expect(play.nominalMm).toBeCloseTo(1, 9);
    expect(play.printedMm).toBeCloseTo(2, 9);
    expect([0, 100]).toContain(play.atMm[0]);
    expect(play.atMm[1]).toBe(-3);
  });

  it('tabs of one piece alone, without a pocket, do not hold it', () => {
    const one = [20, 40, 60, 80].map((x) => keyWith(tabAt(x, 0.2), 'B'));
    expect(jointPlay([{ section: section, keys: one }], section, { toleranceMm: 0.1 })).toMatchObject({
      held: false,
      nominalMm: LOOSE_MM,
      printedMm: LOOSE_MM,
    });
  });

  it('a loose part has four faces that may be off', () => {
    const turns = [20, 40, 60, 80].map((x, i) => ({
      ...keyWith(tabAt(x, 0.2), i % 2 === 0 ? 'B' : 'A'),
      loose: box([0, 0, 0], [1, 1, 1]),
    }));
    const play = jointPlay([{ section: section, keys: turns }], section, { toleranceMm: 0.1 })!;
    expect(play.nominalMm).toBeCloseTo(1, 9);
    expect(play.printedMm).toBeCloseTo(3, 9);
  });

  it('is looked at all round where no side of the face is outside, and is nothing without keys', () => {
    const inside = {
      ...section,
      loops: section.loops.map((loop) => ({ ...loop, sides: new Uint8Array(4).fill(SIDE_INNER) })),
    };
    const turns = [20, 40, 60, 80].map((x, i) => keyWith(tabAt(x, 0.2), i % 2 === 0 ? 'B' : 'A'));
    expect(jointPlay([{ section: inside, keys: turns }], inside, { toleranceMm: 0 })!.nominalMm).toBeCloseTo(1, 9);
    expect(jointPlay([{ section: section, keys: [] }], section, { toleranceMm: 0 })).toBeNull();
  });

  it('keys of a seam lead another one that closes at the same time, whichever of the pieces carries there', () => {
    // One tab in a pocket each, 0.2 all round, at 20 of one wall and at 80 of another in the same plane: a turn about their middle of at most
    // 0.2 / 30, so that 50 beyond it the edge is off by 0.2 x 50 / 30; by hand. Alone neither holds a turn.
    const pocketAt = (x: number): Contact[] => [...tabAt(x, 0.2), [[x, 0, 0], [0, 1, 0], 0.2]];
    const near = { section, keys: [keyWith(pocketAt(20), 'B')] };
    const far = { section, keys: [keyWith(pocketAt(80), 'A')] };
    const none = { section, keys: [] };
    for (const one of [near, far]) expect(jointPlay([one], section, { toleranceMm: 0 })!.held).toBe(false);
    for (const closing of [
      [near, far],
      [far, none, near],
    ]) {
      const play = jointPlay(closing, section, { toleranceMm: 0 })!;
      expect(play.held).toBe(true);
      expect(play.nominalMm).toBeCloseTo((0.2 * 50) / 30, 9);
    }
  });
});
