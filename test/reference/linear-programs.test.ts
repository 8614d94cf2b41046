// Linear programs of six variables against a general library for them (HiGHS 1.15, MIT), and against worked examples.
import loadHighs from 'highs';
import { expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { type Constraints, type LinearOutcome, linearProgram } from '../../src/geometry/linear/linear-program.ts';
import { contactConstraints } from '../support/contact-constraints.ts';
import facts from './linear-programs.json' with { type: 'json' };

it.each(facts)('$where', ({ objective, rows, limits, value, tolerance }) => {
  const numVars = objective.length;
  const got = linearProgram(objective, {
    numVars,
    rows: Float64Array.from(rows.flat()),
    limits: Float64Array.from(limits),
  });
  expect(got.status).toBe('best');
  if (got.status === 'best') expect(Math.abs(got.value - value)).toBeLessThan(tolerance);
});

const STATUS: Readonly<Record<string, LinearOutcome['status']>> = {
  Optimal: 'best',
  Unbounded: 'unbounded',
  Infeasible: 'infeasible',
};

/** Planes anywhere; a fifth of the rows repeated, and a few left out of a box so that some programs are open. */
function randomConstraints(num: number, random: () => number): Constraints {
  const rows = new Float64Array(num * 6).map(() => Math.round((random() * 2 - 1) * 8) / 8);
  for (let i = 0; i < num / 5; i++) rows.copyWithin(i * 6, (num - 1 - i) * 6, (num - i) * 6);
  return { numVars: 6, rows, limits: new Float64Array(num).map(() => random() * 2 - 0.05) };
}

const CASES: readonly (readonly [string, number, (num: number, random: () => number) => Constraints])[] = [
  ['planes anywhere', 8, randomConstraints],
  ['planes anywhere', 12, randomConstraints],
  ['planes anywhere', 300, randomConstraints],
  ['contacts with one gap', 300, (num, random) => contactConstraints(num, random, 'equal')],
  ['contacts with many gaps', 400, (num, random) => contactConstraints(num, random, 'various')],
  ['contacts, some overlapping', 14, (num, random) => contactConstraints(num, random, 'negative too')],
];

it.each(CASES)('%s, %i of them: outcome and value of the library, 40 seeds', async (_, num, make) => {
  const highs = await loadHighs();
  const seen = new Set<string>();
  for (let seed = 1; seed <= 40; seed++) {
    const random = randomStream(seed * 7919 + num);
    const constraints = make(num, random);
    const objective = Array.from({ length: 6 }, () => random() * 2 - 1);
    const got = linearProgram(objective, constraints);
    const theirs = highs.solve(asText(objective, constraints), { presolve: 'off' });
    expect([seed, got.status]).toEqual([seed, STATUS[theirs.Status]]);
    seen.add(got.status);
    if (got.status === 'best')
      expect(Math.abs(got.value - theirs.ObjectiveValue)).toBeLessThan(1e-6 * (1 + Math.abs(got.value)));
  }
  if (num === 8) expect(seen.has('unbounded')).toBe(true);
});

/** In the LP format of the library. */
function asText(objective: readonly number[], { numVars, rows, limits }: Constraints): string {
  const sum = (of: ArrayLike<number>, from: number): string =>
    Array.from({ length: numVars }, (_, k) => {
      const x = of[from + k]!;
      return `${x < 0 ? '-' : '+'} ${Math.abs(x).toFixed(17)} x${k}`;
    }).join(' ');
  return [
    'Maximize',
    ` obj: ${sum(objective, 0)}`,
    'Subject To',
    ...Array.from(limits, (limit, i) => ` c${i}: ${sum(rows, i * numVars)} <= ${limit.toFixed(17)}`),
    'Bounds',
    ...Array.from({ length: numVars }, (_, k) => ` x${k} free`),
    'End',
  ].join('\n');
}
