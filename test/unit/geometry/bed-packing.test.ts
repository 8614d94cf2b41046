// Outlines on a rectangle: what fits just so, what does not, and that shapes go into each other.
import { describe, expect, it } from 'vitest';
import { layableOutline, loopsBox, packBed, turnedLoop } from '../../../src/geometry/bed-packing.ts';
import { outlineGap } from '../../../src/geometry/outline-gap.ts';

const QUARTERS = [0, 90, 180, 270];
const rectangle = (wide: number, deep: number): Float64Array => Float64Array.of(0, 0, wide, 0, wide, deep, 0, deep);
/** An L of two arms 20 mm wide. */
const corner = Float64Array.of(0, 0, 100, 0, 100, 20, 20, 20, 20, 100, 0, 100);

function packed(loops: readonly Float64Array[], bed: readonly [number, number], gapMm: number) {
  const outlines = loops.map((loop) => layableOutline([loop], QUARTERS, { gapMm, cellMm: 1 }));
  const places = packBed(outlines, { widthMm: bed[0], depthMm: bed[1] }, { cellMm: 1 });
  return places?.map(({ turnDeg, atMm: [x, y] }, i) =>
    turnedLoop(loops[i]!, turnDeg).map((v, axis) => v + (axis % 2 === 0 ? x : y)),
  );
}

describe('laying outlines on a bed', () => {
  it('lays two rectangles of 99.5 x 59.5 on 120 x 120, one beside the other', () => {
    const laid = packed([rectangle(99.5, 59.5), rectangle(99.5, 59.5)], [120, 120], 0)!;
    expect(laid).toHaveLength(2);
    expect(outlineGap([laid[0]!], [laid[1]!])).toBeGreaterThanOrEqual(0);
  });

  it('does not where the gap is too wide for them', () => {
    expect(packed([rectangle(99.5, 59.5), rectangle(99.5, 59.5)], [120, 120], 5)).toBeUndefined();
    expect(packed([rectangle(130, 10)], [120, 120], 0)).toBeUndefined();
  });

  it('turns what is too wide', () => {
    const [laid] = packed([rectangle(110, 30)], [40, 120], 0)!;
    const [least, most] = loopsBox([laid!]);
    expect(most[0] - least[0]).toBeCloseTo(30, 9);
  });

  it.each([0, 3, 5, 7.5])('lays corners into each other, %s mm apart at least', (gapMm) => {
    // two steps of an arm and a gap, each up to two cells wider
    const side = 100 + 2 * (20 + gapMm + 2) + 1;
    const laid = packed([corner, corner, corner], [side, side], gapMm)!;
    expect(laid).toHaveLength(3);
    for (const [i, one] of laid.entries())
      for (const other of laid.slice(i + 1)) {
        expect(outlineGap([one], [other])).toBeGreaterThanOrEqual(gapMm);
        expect(outlineGap([one], [other])).toBeGreaterThan(0);
      }
    const [least, most] = loopsBox(laid);
    expect(Math.min(...least)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...most)).toBeLessThanOrEqual(side);
  });

  it('lays a small one into the hole of a large one', () => {
    const ring = [rectangle(100, 100), rectangle(60, 60).map((v) => v + 20)];
    const outlines = [
      layableOutline(ring, QUARTERS, { gapMm: 5, cellMm: 1 }),
      layableOutline([rectangle(45, 45)], QUARTERS, { gapMm: 5, cellMm: 1 }),
    ];
    const places = packBed(outlines, { widthMm: 104, depthMm: 104 }, { cellMm: 1 })!;
    const small = rectangle(45, 45).map((v, i) => v + places[1]!.atMm[i % 2 === 0 ? 0 : 1]);
    const large = ring.map((loop) => loop.map((v, i) => v + places[0]!.atMm[i % 2 === 0 ? 0 : 1]));
    expect(outlineGap(large, [small])).toBeGreaterThanOrEqual(5);
  });

  it('gives the same places every time', () => {
    const all = Array.from({ length: 6 }, (_, i) => rectangle(20 + 7 * i, 60 - 5 * i));
    expect(packed(all, [150, 150], 4)).toEqual(packed(all, [150, 150], 4));
  });
});
