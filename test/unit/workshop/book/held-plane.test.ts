import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dot, unit } from '../../../../src/geometry/three-by-three.ts';
import { heldPlane, planeOfHeld, planeWords } from '../../../../src/workshop/book/held-plane.ts';

const MIDDLE = [0, 0, 155] as const;

describe('a plane as the maker sets it', () => {
  it('is told by its height and how it rises', () => {
    const slope = Math.tan(Math.PI / 18);
    const normal = unit([0, -slope, 1]);
    // through (0, 0, 120), rising to the back by 10 degrees
    const held = heldPlane({ normal, offsetMm: dot(normal, [0, 0, 120]) }, MIDDLE);
    expect(held.axis).toBe(2);
    expect(held.atMm).toBeCloseTo(120, 9);
    expect(held.leanDeg[0]).toBeCloseTo(10, 9);
    expect(held.leanDeg[1]).toBeCloseTo(0, 9);
  });

  it('stands upright across and along by where it crosses the middle', () => {
    expect(heldPlane({ normal: [0, -1, 0], offsetMm: -30 }, MIDDLE)).toEqual({ axis: 1, atMm: 30, leanDeg: [0, 0] });
    expect(heldPlane({ normal: [1, 0, 0], offsetMm: 12 }, MIDDLE)).toMatchObject({ axis: 0, atMm: 12 });
  });

  it('is the same plane again, whichever way its normal points (seed 5)', () => {
    const part = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(part, part, part, fc.double({ min: -200, max: 200, noNaN: true }), (x, y, z, offsetMm) => {
        fc.pre(Math.hypot(x, y, z) > 0.1);
        const plane = { normal: unit([x, y, z]), offsetMm };
        const again = planeOfHeld(heldPlane(plane, MIDDLE), MIDDLE);
        const way = Math.sign(dot(again.normal, plane.normal));
        for (const c of [0, 1, 2] as const) expect(again.normal[c] * way).toBeCloseTo(plane.normal[c], 9);
        expect(again.offsetMm * way).toBeCloseTo(offsetMm, 6);
      }),
      { seed: 5 },
    );
  });

  it.each([
    [
      { axis: 1, atMm: -53.5, leanDeg: [3, -2] },
      'stands 53.5 in front of the middle, leaning 3 back at the top and 2 forward on the left',
    ],
    [
      { axis: 0, atMm: 12, leanDeg: [-1, 4] },
      'stands 12 left of the middle, leaning 1 right at the top and 4 left at the back',
    ],
    [{ axis: 2, atMm: 165, leanDeg: [-5, 0] }, 'stands 165 high, falling 5 to the back and rising 0 to the left'],
  ] as const)('is told without a sign: %j', (held, said) => {
    const words = planeWords(held);
    const numbers = [held.atMm, ...held.leanDeg].map(Math.abs);
    expect(words.map((each, i) => `${each}${numbers[i] ?? ''}`).join('')).toBe(said);
  });
});
