import { describe, expect, it } from 'vitest';
import { domeMesh } from '../../../../support/pieces/round-shapes.ts';
import { piecesOf } from '../../../../support/pieces/run-pieces.ts';

const shape = { widthMm: 240, depthMm: 280, heightMm: 230, wallMm: 3, bump: 0.02, seed: 4 };
const mesh = domeMesh(shape, 48, 20);
const { record } = piecesOf(mesh, { bedMm: [200, 200, 200] });

describe('the divisions proposed for a dome', () => {
  it('are three, in their order, and the one made is one of them', () => {
    expect(record.proposals.map((one) => one.name)).toEqual(['fewest', 'hidden', 'quickest']);
    const made = record.proposals.find((one) => one.name === record.proposal)!;
    expect(made.pieces).toBe(record.pieces.length);
  });

  it('have the cost of their lines', () => {
    for (const { costMm, outerMm, seams } of record.proposals) {
      let cost = 0;
      let length = 0;
      for (const { points: p, price } of seams.flatMap(({ lines }) => lines)) {
        price.forEach((one, i) => {
          const at = i * 3;
          const mm = Math.hypot(p[at + 3]! - p[at]!, p[at + 4]! - p[at + 1]!, p[at + 5]! - p[at + 2]!);
          cost += mm * one;
          length += mm;
        });
      }
      expect(cost / costMm).toBeCloseTo(1, 2);
      expect(length / outerMm).toBeCloseTo(1, 2);
      expect(costMm).toBeLessThan(outerMm);
    }
  });

  it('are each told once, and named where they are the same', () => {
    for (const { sameAs, ...one } of record.proposals) {
      if (sameAs === null) continue;
      const first = record.proposals.find((other) => other.name === sameAs)!;
      expect(first.sameAs).toBeNull();
      expect(one).toEqual({ ...one, pieces: first.pieces, costMm: first.costMm, printS: first.printS });
    }
    const [fewest, , quickest] = record.proposals;
    expect(fewest!.pieces).toBeLessThanOrEqual(Math.min(...record.proposals.map((one) => one.pieces)));
    expect(quickest!.printS).toBeLessThanOrEqual(fewest!.printS + 3600);
    for (const one of record.proposals) expect(one.longestPrintS).toBeLessThan(one.printS);
  });
});

it('nothing is proposed where nothing is cut', () => {
  const whole = piecesOf(mesh, { bedMm: [400, 400, 400] }).record;
  expect(whole.proposals).toEqual([]);
  expect(whole.proposal).toBeNull();
});
