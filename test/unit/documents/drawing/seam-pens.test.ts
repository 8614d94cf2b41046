// Stitches across a line: how many, how long, and square to it.
import { describe, expect, it } from 'vitest';
import { penSample, SEAM_PENS, stitchesOf } from '../../../../src/documents/drawing/seam-pens.ts';

describe('stitches', () => {
  it('stand evenly along a line with a corner, square to it', () => {
    const stitches = stitchesOf(Float32Array.of(0, 0, 9, 0, 9, 9));
    expect(stitches).toHaveLength(10);
    stitches.forEach(([ax, ay, bx, by], i) => {
      expect(Math.hypot(bx! - ax!, by! - ay!)).toBeCloseTo(1.9, 5);
      const middle = [(ax! + bx!) / 2, (ay! + by!) / 2];
      const along = (i + 0.5) * 1.8;
      const known = along < 9 ? [along, 0] : [9, along - 9];
      expect(middle[0]).toBeCloseTo(known[0]!, 4);
      expect(middle[1]).toBeCloseTo(known[1]!, 4);
    });
  });

  it('a short line has one, a line of no length none', () => {
    expect(stitchesOf(Float32Array.of(0, 0, 0.5, 0))).toHaveLength(1);
    expect(stitchesOf(Float32Array.of(3, 3, 3, 3))).toHaveLength(0);
  });
});

describe('the samples beside a drawing', () => {
  it('differ from pen to pen', () => {
    const samples = SEAM_PENS.map((pen) => penSample(pen, 'red'));
    expect(new Set(samples).size).toBe(SEAM_PENS.length);
    for (const svg of samples) expect(svg).not.toMatch(/NaN|undefined/);
  });
});
