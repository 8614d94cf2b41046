// Published check values of the motion model.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { cornerSpeed, moveSeconds, pathSeconds, peakSpeed } from '../../src/workshop/process/motion-time.ts';

const fact = <T>(name: string): { value: T; tolerance: { relative: number; absolute: number } } =>
  JSON.parse(readFileSync(new URL(`./${name}.json`, import.meta.url), 'utf8'));

describe('trapezoid moves', () => {
  const { value, tolerance } =
    fact<{ given: [number, number, number]; seconds: number; peakMmS: number | null }[]>('print-move-times');
  it.each(value)('$given', ({ given: [length, speedMmS, accelerationMmS2], seconds, peakMmS }) => {
    const got = moveSeconds(length, { speedMmS, accelerationMmS2 });
    expect(Math.abs(got / seconds - 1)).toBeLessThan(tolerance.relative);
    const peak = Math.min(speedMmS, peakSpeed(length, accelerationMmS2));
    if (peakMmS !== null) expect(Math.abs(peak / peakMmS - 1)).toBeLessThan(tolerance.relative);
    else expect(peak).toBe(speedMmS);
  });
});

const limits = { speedMmS: 60, accelerationMmS2: 1000, junctionDeviationMm: 0.02 };

describe('corner speeds', () => {
  const { value, tolerance } = fact<[number, number][]>('print-corner-speeds');
  it.each(value)('interior angle %d', (angleDeg, speed) => {
    const turn = ((180 - angleDeg) * Math.PI) / 180;
    const got = cornerSpeed(Math.sin(turn / 2) ** 2, limits);
    expect(Math.abs(got - speed)).toBeLessThan(tolerance.absolute);
  });
  it('no corner, no limit', () => {
    expect(cornerSpeed(0, limits)).toBe(Infinity);
  });
  it('a full turn back stops', () => {
    expect(cornerSpeed(1, limits)).toBe(0);
  });
});

describe('round a square', () => {
  const { value, tolerance } = fact<{ fullStops: number; cornersDeviation002: number }>('print-square-path');
  const square = (bend: number) => ({
    lengthMm: Float64Array.of(10, 10, 10, 10),
    bend: Float64Array.of(bend, bend, bend, 0),
  });
  it('with full stops', () => {
    const got = pathSeconds(square(1), limits, { from: 0, to: 4 });
    expect(Math.abs(got - value.fullStops)).toBeLessThan(tolerance.absolute);
  });
  it('with corners of 90 degrees', () => {
    const got = pathSeconds(square(0.5), limits, { from: 0, to: 4 });
    expect(Math.abs(got - value.cornersDeviation002)).toBeLessThan(tolerance.absolute);
  });
});

describe('with all digits', () => {
  type Digits = {
    moves: { value: [[number, number, number, number, number], [number, number]][] };
    corners: { value: [[number, number, number], number][] };
    square: { value: [number, number] };
    tolerance: { relative: number };
  };
  const known: Digits = JSON.parse(readFileSync(new URL('./print-motion-digits.json', import.meta.url), 'utf8'));
  const near = (got: number, expected: number): void =>
    expect(Math.abs(got / expected - 1)).toBeLessThan(known.tolerance.relative);

  it.each(known.moves.value)('move %j', ([length, speedMmS, accelerationMmS2, from, to], [seconds, highest]) => {
    near(moveSeconds(length, { speedMmS, accelerationMmS2 }, from, to), seconds);
    near(Math.min(speedMmS, peakSpeed(length, accelerationMmS2, from, to)), highest);
  });
  it.each(known.corners.value)('corner %j', ([angleDeg, accelerationMmS2, junctionDeviationMm], speed) => {
    const turn = ((180 - angleDeg) * Math.PI) / 180;
    near(cornerSpeed(Math.sin(turn / 2) ** 2, { accelerationMmS2, junctionDeviationMm }), speed);
  });
  it('round a square, stopping and not', () => {
    for (const [i, bend] of [1, 0.5].entries()) {
      const moves = { lengthMm: Float64Array.of(10, 10, 10, 10), bend: Float64Array.of(bend, bend, bend, 0) };
      near(pathSeconds(moves, limits, { from: 0, to: 4 }), known.square.value[i]!);
    }
  });
});
