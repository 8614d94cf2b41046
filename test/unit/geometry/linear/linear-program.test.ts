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

  it('ends where two rows run almost alike, so that they meet far out', () => {
    // contacts of a joint whose two mating faces lean against each other: rows 1 and 6 of the seven
    const rows = [
      [0.9099797708857428, 0.41465264569122345, 0.34426037159244566],
      [0.41465264569122345, -0.9099797708857428, -0.7117571967705634],
      [0.4388897562296119, 0.8985409183096291, -0.9499171291152014],
      [0.9999317800255554, -0.011680551995707056, 0.09511637533588646],
      [0.41465264569122345, -0.9099797708857428, -0.9313457810061264],
      [0.4388897562296315, 0.8985409183096197, -0.8936123639266266],
      [-0.4118344681288842, 0.9037950896036158, 0.746065198811119],
    ];
    const limits = [0.2, 0.2, 0.22789238590565564, 0.2, 0.2, 0.22038662537178655, 0.21850344827648271];
    const outcome = linearProgram([-1, 0, 0], {
      numVars: 3,
      rows: Float64Array.from(rows.flat()),
      limits: Float64Array.from(limits),
    });
    expect(outcome.status).toBe('best');
    if (outcome.status !== 'best') return;
    expect(outcome.value).toBeGreaterThan(1e7);
    for (const [i, row] of rows.entries()) {
      const reaches = row.reduce((sum, each, k) => sum + each * outcome.at[k]!, 0);
      expect(reaches - limits[i]!).toBeLessThan(1e-6);
    }
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
