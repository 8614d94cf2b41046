// The door: what is seen is parted by class, and what is noteworthy about papers and the day is found with measured value and limit.
import { describe, expect, it } from 'vitest';
import { bowl, icoSphere } from '../../../../src/mesh/builders.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';
import { box } from '../../../support/printing-shapes.ts';
import { classOf, runSurface, type SurfaceRun } from '../../../support/surface-run.ts';

const cube = box(40, 40, 40);
const found = (settings: SurfaceRun['settings']) =>
  runSurface([cube], { settings }).findings.map(({ code, measured, limit, unit, where }) => ({
    code,
    measured,
    limit,
    unit,
    where,
  }));

describe('classes', () => {
  it('of a cube: the top is level, four sides are walls, what lies on the bed needs no support', () => {
    const { value } = runSurface([cube]);
    expect(classOf(value, 'rings')).toMatchObject({
      areaMm2: 3200,
      cuspMm: { p95: expect.closeTo(0.2, 6) },
      rounds: 2,
    });
    expect(classOf(value, 'walls')).toMatchObject({ areaMm2: 6400, cuspMm: { p50: 0, p95: 0 }, rounds: 0 });
    expect(classOf(value, 'scars')).toBeUndefined();
    expect(value.pieces[0]).toMatchObject({ ringMm: 0, starts: { trackMm: expect.closeTo(40, 9) }, areaMm2: 9600 });
  });

  it('of a ball: a seventh is held at 45 degrees, as much shows rings above', () => {
    const { value } = runSurface([transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 50], icoSphere(50, 6))]);
    const share = (of: 'rings' | 'walls' | 'scars'): number => classOf(value, of)!.areaMm2 / value.totals.areaMm2;
    expect(share('scars')).toBeCloseTo((1 - Math.SQRT1_2) / 2, 3);
    expect(share('rings')).toBeCloseTo((1 - Math.SQRT1_2) / 2, 3);
    expect(share('walls')).toBeCloseTo(Math.SQRT1_2, 3);
    const { cuspMm, needMm } = classOf(value, 'scars')!;
    expect(needMm).toBeCloseTo(cuspMm.p95 + 0.3, 9);
  });

  it('leave out what is not seen', () => {
    const shell = bowl({ outerMm: 60, wallMm: 3 }, 20);
    expect(runSurface([shell]).value.totals.areaMm2).toBeGreaterThan(0);
    const outcome = runSurface([shell], { seen: () => false });
    expect(outcome.value.totals.areaMm2).toBe(0);
    expect(outcome.value.pieces[0]!.classes).toEqual([]);
  });
});

describe('findings', () => {
  it('none on an ordinary day with an ordinary ladder', () => {
    expect(found({})).toEqual([]);
  });

  it('a paper that skips too far, and one that leads back', () => {
    expect(found({ ladder: [80, 220, 180] })).toEqual([
      { code: 'LADDER_STEP_WIDE', measured: 201 / 68, limit: 2, unit: 'times', where: { path: 'surface.ladder' } },
      { code: 'LADDER_STEP_WIDE', measured: 68 / 82, limit: 2, unit: 'times', where: { path: 'surface.ladder' } },
    ]);
    const says = runSurface([cube], { settings: { ladder: [80, 220, 180] } }).findings.map(({ say }) => say);
    expect(says[0]).toContain('From P80 to P220 the grain shrinks 2.96 times, more than 2');
    expect(says[1]).toContain('P180 after P220 scratches anew');
  });

  it.each([
    { airC: 18, humidityPercent: 83, measured: 2.93, limit: 3, unit: 'degrees' },
    { airC: 8, humidityPercent: 50, measured: 8, limit: 10, unit: 'degrees' },
    { airC: 35, humidityPercent: 40, measured: 35, limit: 32, unit: 'degrees' },
  ])('a day of $airC degrees at $humidityPercent percent', ({ airC, humidityPercent, measured, limit, unit }) => {
    const [only, ...more] = found({ airC, humidityPercent });
    expect(more).toEqual([]);
    expect(only).toMatchObject({ code: 'SPRAY_DAY_UNFIT', limit, unit, where: { path: 'surface.airC' } });
    expect(only!.measured).toBeCloseTo(measured, 1);
  });

  it('both where a wet day is cold as well', () => {
    expect(found({ airC: 6, humidityPercent: 95 }).map(({ limit }) => limit)).toEqual([3, 10]);
  });
});

describe('paints', () => {
  const told = (settings: SurfaceRun['settings']) =>
    runSurface([cube], { settings }).findings.filter(({ code }) => code === 'COATS_MUST_NOT_MEET');
  const of = <B extends string>(base: B) => ({ base, coats: 2, from: 'can' }) as const;

  it('are told where the upper one dissolves the lower, with the choice that does it', () => {
    const [only, ...more] = told({ paint: of('enamel') });
    expect(more).toEqual([]);
    expect(only).toMatchObject({ where: { path: 'surface.clear.base' } });
    expect(only!.say).toContain('clear coat, solvent lacquer must not meet the colour, enamel');
    expect(told({ primerBase: 'enamel' })).toMatchObject([{ where: { path: 'surface.paint.base' } }]);
  });

  it('are not told where a coat between keeps them apart', () => {
    const water = { ...of('water'), when: 'before' } as const;
    expect(told({ paint: of('enamel'), wash: 'spirit', clear: { ...water, when: 'after' } })).toMatchObject([
      { where: { path: 'surface.wash' } },
    ]);
    expect(told({ paint: of('enamel'), wash: 'spirit', clear: water })).toEqual([]);
    expect(told({})).toEqual([]);
  });
});
