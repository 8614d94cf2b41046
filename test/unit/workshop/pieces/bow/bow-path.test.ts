// The cheapest way along a chart whose prices are known by formula.
import { describe, expect, it } from 'vitest';
import type { BowChart } from '../../../../../src/workshop/pieces/bow/bow-chart.ts';
import { bowPath, costOf, PATH_DEFAULTS } from '../../../../../src/workshop/pieces/bow/bow-path.ts';

interface ChartShape {
  readonly cols: number;
  readonly isClosed?: boolean;
  readonly isHeld?: readonly [boolean, boolean];
  /** Price at a place along the line (mm) and a height; below 0 for none. */
  readonly price: (alongMm: number, upMm: number) => number;
}

/** A flat strip, 2 mm a column, 0.5 mm a row, 10 mm up and down. */
function chartOf({ cols, isClosed = false, isHeld = [false, false], price }: ChartShape): BowChart {
  const [numRows, flatRow, rowMm, colMm] = [41, 20, 0.5, 2];
  const points = new Float64Array(cols * numRows * 3);
  const prices = new Float64Array(cols * numRows);
  const around = (2 * Math.PI) / cols;
  const radius = (cols * colMm) / (2 * Math.PI);
  for (let col = 0; col < cols; col++) {
    for (let row = 0; row < numRows; row++) {
      const at = col * numRows + row;
      const up = (row - flatRow) * rowMm;
      const place = isClosed ? [radius * Math.cos(col * around), radius * Math.sin(col * around)] : [col * colMm, 0];
      points.set([place[0]!, place[1]!, up], at * 3);
      prices[at] = price(col * colMm, up);
    }
  }
  const places = Array.from({ length: cols }, () => ({ at: [0, 0, 0], segment: 0, along: [1, 0, 0] }) as const);
  return { places, isClosed, isHeld, numRows, flatRow, rowMm, colMm, points, price: prices };
}

const wave = (along: number) => 5 * Math.sin(along / 25);
const valley = (along: number, up: number) => (Math.abs(up - wave(along)) < 1 ? 0.1 : 1);

describe('bowPath', () => {
  it('follows a cheap valley, and never by more than its slope', () => {
    const { liftMm, costMm, flatMm } = bowPath(chartOf({ cols: 160, price: valley }));
    liftMm.forEach((up, i) => {
      expect(Math.abs(up - wave(2 * i))).toBeLessThan(1.6);
      if (i > 0) expect(Math.abs(up - liftMm[i - 1]!)).toBeLessThanOrEqual(2 * PATH_DEFAULTS.mostSlope + 1e-9);
    });
    expect(costMm).toBeLessThan(0.2 * flatMm);
  });

  it('starts and ends in the plane where it is held', () => {
    const { liftMm } = bowPath(chartOf({ cols: 100, isHeld: [true, true], price: (_, up) => (up > 4.2 ? 0.1 : 1) }));
    expect(liftMm[0]).toBe(0);
    expect(liftMm[99]).toBe(0);
    expect(liftMm[50]).toBeGreaterThan(4);
  });

  it('closes a closed line', () => {
    const turns = (along: number) => 4 * Math.cos((2 * Math.PI * along) / 400);
    const { liftMm } = bowPath(
      chartOf({ cols: 200, isClosed: true, price: (along, up) => (Math.abs(up - turns(along)) < 1 ? 0.1 : 1) }),
    );
    expect(Math.abs(liftMm[0]! - liftMm[199]!)).toBeLessThanOrEqual(2 * PATH_DEFAULTS.mostSlope);
    liftMm.forEach((up, i) => {
      expect(Math.abs(up - turns(2 * i))).toBeLessThan(1.6);
    });
  });

  it('stays flat where all costs the same, and where little is to be had', () => {
    const even = bowPath(chartOf({ cols: 60, price: () => 0.7 }));
    expect([...even.liftMm].every((up) => up === 0)).toBe(true);
    expect(even.costMm).toBe(even.flatMm);
    const rough = bowPath(chartOf({ cols: 60, price: (along, up) => 0.7 + 0.02 * Math.sin(along * 3 + up * 5) }));
    expect(Math.max(...rough.liftMm.map(Math.abs))).toBeLessThan(2);
  });

  it('goes round what is no place to be, and stays flat when there is no way', () => {
    const hole = (along: number, up: number) => (along > 40 && along < 60 && up > -3 ? -1 : 1);
    const round = bowPath(chartOf({ cols: 60, isHeld: [true, true], price: hole }));
    // the flat seam itself is not a way here: it costs more than anything
    expect(round.flatMm).toBe(Infinity);
    expect(Math.min(...round.liftMm)).toBeLessThanOrEqual(-3);
    const wall = bowPath(chartOf({ cols: 60, price: (along, up) => (along === 50 && up !== 0 ? -1 : 1) }));
    expect(wall.liftMm[25]).toBe(0);
  });

  it('costs what a plain sum over its steps gives', () => {
    const chart = chartOf({ cols: 30, price: (along, up) => 0.5 + 0.01 * along + 0.02 * up });
    const lift = Float64Array.from({ length: 30 }, (_, i) => 2 * Math.sin(i / 5));
    let sum = 0;
    for (let i = 1; i < 30; i++) {
      const mean = 0.5 + 0.01 * (2 * i - 1) + (0.02 * (lift[i]! + lift[i - 1]!)) / 2;
      sum += Math.hypot(2, lift[i]! - lift[i - 1]!) * mean;
    }
    expect(costOf(chart, lift)).toBeCloseTo(sum, 9);
  });
});
