// Lines of seams told in few strokes: where they run and what they cost stays.
import { describe, expect, it } from 'vitest';
import { SEGMENT_LOOKS, type SegmentLook } from '../../../../src/app/api/figure-codec.ts';
import { type SeamSegments, seamSegments } from '../../../../src/app/worker/seam-segments.ts';
import { pennedRuns, seamStrokes } from '../../../../src/app/worker/seam-strokes.ts';
import type { Seam, SeamLine } from '../../../../src/workshop/process/pieces-record.ts';

/** Half round a ring of 100 mm in steps of half a degree, cheap in its first half. */
const steps = 360;
const ring: SeamLine = {
  points: Float32Array.from({ length: (steps + 1) * 3 }, (_, i) => {
    const angle = (Math.trunc(i / 3) * Math.PI) / steps;
    return [100 * Math.cos(angle), 100 * Math.sin(angle), 5][i % 3]!;
  }),
  price: Float32Array.from({ length: steps }, (_, i) => (i < steps / 2 ? 0.2 : 0.8)),
  hiding: new Uint8Array(steps),
};

function lengthOf(points: ArrayLike<number>, from: number, to: number): number {
  let sum = 0;
  for (let i = from * 3; i < to * 3; i += 3)
    sum += Math.hypot(...[0, 1, 2].map((c) => points[i + 3 + c]! - points[i + c]!));
  return sum;
}

describe('strokes of a seam', () => {
  it('are few, join end to end, and keep length and cost', () => {
    const strokes = seamStrokes(ring);
    expect(strokes.length).toBeLessThan(steps / 6);
    let cost = 0;
    strokes.forEach(({ ends, price }, i) => {
      cost += price * lengthOf(ends, 0, 1);
      if (i > 0) expect(ends.slice(0, 3)).toEqual(strokes[i - 1]!.ends.slice(3));
    });
    const known = lengthOf(ring.points, 0, steps) * 0.5;
    expect(Math.abs(cost / known - 1)).toBeLessThan(0.005);
  });

  it('of nothing are none', () => {
    expect(seamStrokes({ points: new Float32Array(3), price: new Float32Array() })).toEqual([]);
  });
});

describe('runs of one pen', () => {
  it('change where the price does', () => {
    const runs = pennedRuns(ring);
    expect(runs.map(({ pen }) => pen)).toEqual(['fine', 'heavy']);
    expect(runs[0]!.points.slice(-3)).toEqual(runs[1]!.points.slice(0, 3));
    expect(runs[0]!.points.length).toBe((steps / 2 + 1) * 3);
  });

  it('are no shorter than a pen can show', () => {
    const flicker = { ...ring, price: ring.price.map((_, i) => (i % 2 === 0 ? 0.3 : 0.4)) };
    for (const { points } of pennedRuns(flicker)) {
      const length = lengthOf(points, 0, points.length / 3 - 1);
      expect(length).toBeGreaterThan(5);
    }
  });

  it('tell what hides it before what it costs', () => {
    const hiding = Uint8Array.from({ length: steps }, (_, i) => (i < 120 ? 1 : i < 240 ? 0 : 2));
    const pens = pennedRuns({ ...ring, hiding }).map(({ pen }) => pen);
    expect(pens).toEqual(['crease', 'fine', 'heavy', 'unseen']);
    // a rib that the crease passes over is drawn on with it
    const gap = Uint8Array.from({ length: steps }, (_, i) => (i > 100 && i < 108 ? 0 : 1));
    expect(pennedRuns({ ...ring, hiding: gap }).map(({ pen }) => pen)).toEqual(['crease']);
  });
});

describe('segments of a seam in the figure', () => {
  const hiding = Uint8Array.from({ length: steps }, (_, i) => (i < steps / 2 ? 1 : 2));
  const segments = (kinds: Uint8Array) =>
    seamSegments([{ outlines: [], lines: [{ ...ring, hiding: kinds }] } as unknown as Seam]);
  const lengthOfLook = ({ seams, seamLook }: SeamSegments, look: SegmentLook): number => {
    let sum = 0;
    seamLook.forEach((one, s) => {
      if (SEGMENT_LOOKS[one] === look) sum += lengthOf(seams, s * 2, s * 2 + 1);
    });
    return sum;
  };

  it('are stitched in a crease and dotted out of sight', () => {
    const cut = segments(hiding);
    const half = lengthOf(ring.points, 0, steps / 2);
    expect(lengthOfLook(cut, 'stitch') + lengthOfLook(cut, 'fine')).toBeCloseTo(half, 0);
    expect(Math.abs(lengthOfLook(cut, 'stitch') / half - 0.9 / 4.2)).toBeLessThan(0.02);
    expect(Math.abs(lengthOfLook(cut, 'dot') / half - 1.2 / 3.2)).toBeLessThan(0.02);
    expect(lengthOfLook(cut, 'priced')).toBe(0);
  });

  it('are as they cost where nothing hides them', () => {
    const cut = segments(new Uint8Array(steps));
    expect(new Set(cut.seamLook)).toEqual(new Set([0]));
    expect(cut.seamPrice.length * 6).toBe(cut.seams.length);
  });
});
