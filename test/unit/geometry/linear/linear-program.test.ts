import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../../src/base/random.ts';
import { type Constraints, linearProgram, linearPrograms } from '../../../../src/geometry/linear/linear-program.ts';

const under = (numVars: number, rows: readonly (readonly number[])[], limits: readonly number[]): Constraints => ({
  numVars,
  rows: Float64Array.from(rows.flat()),
  limits: Float64Array.from(limits),
});

const CUBE = under(
  3,
  [
    [1, 0, 0],
    [-1, 0, 0],
    [0, 1, 0],
    [0, -1, 0],
    [0, 0, 1],
    [0, 0, -1],
  ],
  [1, 2, 3, 4, 5, 6],
);

describe('a linear program', () => {
  it('stops at the corner that the objective points to', () => {
    const best = linearProgram([1, -1, 2], CUBE);
    expect(best).toMatchObject({ status: 'best', value: 15 });
    if (best.status === 'best') expect(Array.from(best.at)).toEqual([1, -4, 5]);
  });

  it('keeps the limits where the objective has no say', () => {
    const best = linearProgram([0, 0, 0], CUBE);
    expect(best).toMatchObject({ status: 'best', value: 0 });
  });

  it('says which way is open', () => {
    const open = linearProgram([1, 1], under(2, [[1, 0]], [4]));
    expect(open.status).toBe('unbounded');
    if (open.status === 'unbounded') expect(Array.from(open.ray)).toEqual([0, 1]);
  });

  it('a way that is open but gains nothing does not matter, and the point given keeps the limits', () => {
    const slanting = under(
      2,
      [
        [1, 0],
        [-1, -1],
      ],
      [4, -1000],
    );
    const best = linearProgram([1, 0], slanting);
    expect(best).toMatchObject({ status: 'best', value: 4 });
    if (best.status === 'best') expect(best.at[0]! + best.at[1]!).toBeGreaterThanOrEqual(1000 - 1e-6);
  });

  it('finds that limits contradict each other, also where the way between them is open', () => {
    const apart = under(
      2,
      [
        [1, 0],
        [-1, 0],
      ],
      [1, -2],
    );
    expect(linearProgram([1, 0], apart).status).toBe('infeasible');
    expect(linearProgram([0, 1], apart).status).toBe('infeasible');
    expect(linearProgram([0, 1], under(2, [[0, 0]], [-1])).status).toBe('infeasible');
    expect(linearProgram([0, 1], under(2, [[0, 0]], [1])).status).toBe('unbounded');
  });

  it('without limits everything is open, without objective nothing is', () => {
    expect(linearProgram([0, -1], under(2, [], [])).status).toBe('unbounded');
    expect(linearProgram([0, 0], under(2, [], [])).status).toBe('best');
  });

  it('many parallel limits are as the nearest of them', () => {
    const rows: number[][] = [];
    const limits: number[] = [];
    for (let i = 0; i < 2000; i++) {
      const axis = [0, 0, 0, 0, 0, 0];
      axis[i % 6] = i % 12 < 6 ? 1 : -1;
      rows.push(axis);
      limits.push(0.2);
    }
    expect(linearProgram([1, 2, 3, 4, 5, 6], under(6, rows, limits))).toMatchObject({ status: 'best' });
    const best = linearProgram([1, 2, 3, 4, 5, 6], under(6, rows, limits));
    if (best.status === 'best') expect(best.value).toBeCloseTo(4.2, 10);
  });

  it('thousands of limits through one point end', () => {
    const random = randomStream(7);
    const rows = Array.from({ length: 3000 }, () => Array.from({ length: 6 }, () => Math.round(random() * 4 - 2)));
    const pointed = under(
      6,
      rows,
      rows.map(() => 0),
    );
    const best = linearProgram([1, 1, 0, 0, 0, 0], pointed);
    expect(best).toMatchObject({ status: 'best' });
    if (best.status === 'best') expect(Math.abs(best.value)).toBeLessThan(1e-9);
  });

  it('is the same however often and in whatever order it is asked', () => {
    const random = randomStream(11);
    const rows = Array.from({ length: 500 }, () => Array.from({ length: 6 }, () => random() * 2 - 1));
    const around = under(
      6,
      rows,
      rows.map(() => random() + 0.1),
    );
    const solve = linearPrograms(around);
    for (let i = 0; i < 30; i++) {
      const objective = Array.from({ length: 6 }, () => random() * 2 - 1);
      const [once, again] = [linearProgram(objective, around), solve(objective)];
      expect(once.status).toBe('best');
      if (once.status === 'best' && again.status === 'best') expect(again.value).toBeCloseTo(once.value, 9);
    }
  });

  it('does not care for the length of rows or the unit of limits', () => {
    const small = { ...CUBE, limits: CUBE.limits.map((limit) => limit * 1e-6) };
    const long = { ...CUBE, rows: CUBE.rows.map((x) => x * 1e5), limits: CUBE.limits.map((limit) => limit * 1e5) };
    const [a, b] = [linearProgram([1, -1, 2], small), linearProgram([1, -1, 2], long)];
    if (a.status === 'best') expect(a.value).toBeCloseTo(15e-6, 15);
    if (b.status === 'best') expect(b.value).toBeCloseTo(15, 9);
    expect([a.status, b.status]).toEqual(['best', 'best']);
  });
});
