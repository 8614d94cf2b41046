// What measured prints teach: factors, how sure they are, and prints that do not go with the others.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { togetherOf } from '../../../../src/workshop/printing/estimates.ts';
import { learnFrom, plusMinusFactor, plusMinusG, plusMinusS } from '../../../../src/workshop/printing/learnt-prints.ts';
import { measuredFindings } from '../../../../src/workshop/printing/measured-findings.ts';
import {
  MeasuredPrint,
  sumOfParts,
  TIME_PARTS,
  type TimeParts,
} from '../../../../src/workshop/process/measured-print.ts';

const parts = (of: Partial<TimeParts> = {}): TimeParts => ({
  contour: 12_000,
  infill: 2400,
  closing: 800,
  support: 1200,
  travel: 2000,
  held: 300,
  startUp: 360,
  ...of,
});
const measured = (tookShare: number, of: Partial<MeasuredPrint> = {}): MeasuredPrint => {
  const own = of.parts ?? parts();
  return {
    name: 'A crown',
    parts: own,
    estimatedG: 80,
    material: 'pla',
    tookS: sumOfParts(own) * tookShare,
    weighedG: null,
    ...of,
  };
};
const foretold = (of: TimeParts, prints: readonly MeasuredPrint[]): number => {
  const { factors } = learnFrom(prints);
  return TIME_PARTS.reduce((sum, part) => sum + of[part] * factors[part], 0);
};

describe('factors learnt', () => {
  it('are all one before anything is measured, and hours may be off by a fifth', () => {
    const learnt = learnFrom([]);
    for (const part of TIME_PARTS) expect(learnt.factors[part]).toBe(1);
    const share = plusMinusS(learnt, [parts()]) / sumOfParts(parts());
    expect(share).toBeGreaterThan(0.15);
    expect(share).toBeLessThan(0.25);
    expect(plusMinusG(learnt, [80]) / 80).toBeLessThan(0.15);
  });

  it('come near what the prints took, the nearer the more there are', () => {
    const took = (n: number): number =>
      foretold(
        parts(),
        Array.from({ length: n }, () => measured(1.2)),
      );
    const off = (n: number): number => Math.abs(took(n) / sumOfParts(parts()) - 1.2);
    expect(off(1)).toBeLessThan(0.05);
    expect(off(5)).toBeLessThan(off(1));
    expect(off(50)).toBeLessThan(0.002);
  });

  it('tell parts apart where prints differ in them', () => {
    const prints = [0, 2000, 4000, 6000, 8000, 10_000].map((support) => {
      const own = parts({ support });
      return measured(1, { parts: own, tookS: sumOfParts(own) + 0.4 * support });
    });
    const learnt = learnFrom(prints);
    expect(learnt.factors.support).toBeGreaterThan(1.15);
    expect(learnt.factors.support - 1).toBeGreaterThan(2 * Math.abs(learnt.factors.contour - 1));
    expect(plusMinusFactor(learnt, 'support')).toBeLessThan(plusMinusFactor(learnFrom([]), 'support'));
  });

  it('of grams are learnt from the prints that were weighed', () => {
    const learnt = learnFrom([measured(1, { weighedG: 88 }), measured(1), measured(1, { weighedG: 88 })]);
    expect([learnt.prints, learnt.weighed]).toEqual([3, 2]);
    expect(learnt.gramsFactor).toBeGreaterThan(1.07);
    expect(learnt.gramsFactor).toBeLessThan(1.1);
  });

  it('stay above a quarter whatever was measured, and say so where they were held (seed 17)', () => {
    const print = fc.record({
      share: fc.double({ min: 1 / 3, max: 3, noNaN: true }),
      support: fc.integer({ min: 0, max: 60_000 }),
      travel: fc.integer({ min: 0, max: 60_000 }),
      held: fc.integer({ min: 0, max: 60_000 }),
    });
    fc.assert(
      fc.property(fc.array(print, { maxLength: 12 }), (list) => {
        const learnt = learnFrom(list.map(({ share, ...of }) => measured(share, { parts: parts(of) })));
        for (const part of TIME_PARTS) expect(learnt.factors[part]).toBeGreaterThanOrEqual(0.25 - 1e-12);
        const least = Math.min(...TIME_PARTS.map((part) => learnt.factors[part]));
        expect(learnt.isContradicted).toBe(Math.abs(least - 0.25) < 1e-9);
      }),
      { seed: 17, numRuns: 300 },
    );
  });
});

describe('the plus-minus of several prints', () => {
  it('lies between the root of the sum of squares and the sum, since they err partly alike', () => {
    const learnt = learnFrom([measured(1.1), measured(1.15)]);
    const alone = plusMinusS(learnt, [parts()]);
    const four = plusMinusS(learnt, [parts(), parts(), parts(), parts()]);
    expect(four).toBeLessThan(4 * alone);
    expect(four).toBeGreaterThan(2 * alone);
  });

  it('adds up over machines, and leaves out those that print nothing', () => {
    const machines = [ordinaryMachine([220, 220, 250]), ordinaryMachine([300, 300, 400])];
    const print = (machine: number) => ({
      machine: machines[machine]!.id,
      estimated: { parts: parts(), g: 80 },
      plusMinusS: 0,
      plusMinusG: 0,
    });
    const one = togetherOf([print(0)], machines);
    const two = togetherOf([print(0), print(1)], machines);
    expect(two.plusMinusS).toBeCloseTo(2 * one.plusMinusS, 6);
    expect(two.plusMinusG).toBeCloseTo(2 * one.plusMinusG, 6);
  });
});

describe('a print that does not go with the others', () => {
  const machine = ordinaryMachine([220, 220, 250]);
  const usual = [1.1, 1.12, 1.09, 1.11].map((share) => measured(share, { weighedG: 82 }));

  it('is told with what was to be expected, and counts all the same', () => {
    const odd = measured(1.6, { name: 'B nape', weighedG: 82 });
    const findings = measuredFindings([{ ...machine, measured: [...usual, odd] }]);
    expect(findings.map(({ code, where }) => [code, where.path])).toEqual([
      ['MEASURED_ODD', 'machines.0.measured.4.tookS'],
    ]);
    expect(findings[0]!.say).toContain('The print of B nape took 8.5 h');
    expect(findings[0]!.measured).toBeGreaterThan(findings[0]!.limit!);
    expect(learnFrom([...usual, odd]).factors.contour).toBeGreaterThan(learnFrom(usual).factors.contour);
  });

  it('is told for its grams too, and nothing is told of prints that agree', () => {
    const heavy = measured(1.1, { name: 'B nape', weighedG: 110 });
    const findings = measuredFindings([{ ...machine, measured: [...usual, heavy] }]);
    expect(findings.map(({ where }) => where.path)).toEqual(['machines.0.measured.4.weighedG']);
    expect(measuredFindings([{ ...machine, measured: usual }])).toEqual([]);
  });

  it('is told as a contradiction where factors had to be held', () => {
    const own = parts({ contour: 100, support: 40_000 });
    const prints = Array.from({ length: 12 }, (_, i) =>
      i % 2 === 0 ? measured(1 / 3, { parts: own }) : measured(2.9, { parts: parts({ support: 0 }) }),
    );
    const codes = measuredFindings([{ ...machine, measured: prints }]).map(({ code }) => code);
    expect(codes.includes('MEASURED_CONTRADICT')).toBe(learnFrom(prints).isContradicted);
    expect(learnFrom(prints).isContradicted).toBe(true);
  });
});

describe('what can be no measurement', () => {
  const problems = (of: Partial<MeasuredPrint>): string[] => {
    const parsed = MeasuredPrint.safeParse(measured(1, of));
    return parsed.success ? [] : parsed.error.issues.map(({ path, message }) => `${path.join('.')}: ${message}`);
  };

  it('is refused with the limit and what to look at', () => {
    expect(problems({ tookS: 0 })[0]).toContain('tookS');
    const far = problems({ tookS: 100 * 3600 });
    expect(far).toHaveLength(1);
    expect(far[0]).toContain(
      'tookS: must lie between a third and three times the 5.3 h that were estimated, and 100.0 h',
    );
    expect(far[0]).toContain('hours and minutes');
    expect(problems({ weighedG: 9 })[0]).toContain('the 80 g that were estimated, and 9 g');
    expect(problems({})).toEqual([]);
  });
});
