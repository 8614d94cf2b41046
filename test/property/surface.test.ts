// Laws of the finish that hold for any body, pose and choice.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { treadWidths } from '../../src/geometry/tread-widths.ts';
import { bowl } from '../../src/mesh/builders.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { FILLERS } from '../../src/workshop/facts/finishing.ts';
import { dewPointC } from '../../src/workshop/surface/dew-point.ts';
import { blob } from '../support/print-blob.ts';
import { box, turnedAboutZ } from '../support/printing-shapes.ts';
import { finishOf, type SurfaceRun } from '../support/surface-run.ts';

const SEED = 20261129;
const RUNS = { seed: SEED, numRuns: 60 };

const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const wave = fc.tuple(mm(0, 0.1), mm(0, 6));
/** Told by its numbers, so that a failing one can be read. */
const body = fc.record({
  like: fc.constantFrom('bowl', 'ball', 'box'),
  sizeMm: fc.tuple(mm(20, 140), mm(10, 60), mm(3, 40)),
  waves: fc.array(wave, { maxLength: 3 }),
  turnedDeg: mm(0, 360),
  tiltedDeg: mm(0, 360),
});
type Body = typeof body extends fc.Arbitrary<infer T> ? T : never;

function meshFor({ like, sizeMm, waves, turnedDeg, tiltedDeg }: Body): Mesh {
  const [a, b, c] = sizeMm;
  const shape =
    like === 'bowl' ? bowl({ outerMm: a, wallMm: c / 10 }, 9) : like === 'ball' ? blob(a, waves, 14) : box(a, b, c);
  return turnedAboutX(turnedAboutZ(shape, turnedDeg), tiltedDeg);
}
const settings: fc.Arbitrary<SurfaceRun['settings']> = fc.record({
  target: fc.constantFrom('stage', 'hand', 'camera'),
  rings: fc.constantFrom('primer', 'resin', 'putty'),
  seams: fc.constantFrom('putty', 'filler'),
  sandedMm: mm(0, 0.1),
  primerCoats: fc.integer({ min: 1, max: 6 }),
  primerFrom: fc.constantFrom('can', 'gun'),
});
const run: fc.Arbitrary<Omit<SurfaceRun, 'seen'>> = fc.record({
  layerMm: mm(0.06, 0.6),
  overhangLimitDeg: mm(20, 80),
  settings,
});

function turnedAboutX(mesh: Mesh, deg: number): Mesh {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return transformMesh([1, 0, 0, 0, c, s, 0, -s, c, 0, 0, 0], mesh);
}

type Finish = ReturnType<typeof finishOf>;

const bought = ({ shopping }: Finish, what: string): number => shopping.find((line) => line.what === what)?.amount ?? 0;

/** Rounding apart. */
const NO_MORE = 1 + 1e-6;

function expectNoMoreWork(less: Finish, more: Finish): void {
  expect(less.rounds).toBeLessThanOrEqual(more.rounds);
  expect(less.fillingMl.laid).toBeLessThanOrEqual(more.fillingMl.laid * NO_MORE);
  expect(less.fillingMl.left).toBeLessThanOrEqual(more.fillingMl.left * NO_MORE);
  expect(less.totals.handsOnS).toBeLessThanOrEqual(more.totals.handsOnS * NO_MORE);
  expect(less.totals.unattendedS).toBeLessThanOrEqual(more.totals.unattendedS);
  expect(less.days.end).toBeLessThanOrEqual(more.days.end);
  expect(less.days.elapsedS).toBeLessThanOrEqual(more.days.elapsedS * NO_MORE);
  for (const { what, amount } of less.shopping) expect(amount, what).toBeLessThanOrEqual(bought(more, what) * NO_MORE);
}

describe(`the finish, seed ${SEED}`, () => {
  it('of finer layers needs no more filler, rounds or hours on any patch', () => {
    fc.assert(
      fc.property(body, run, (of, on) => {
        const mesh = meshFor(of);
        const whole = finishOf([mesh], on);
        const half = finishOf([mesh], { ...on, layerMm: on.layerMm / 2 });
        expect(half.pieces[0]!.classes.map(({ of }) => of)).toEqual(whole.pieces[0]!.classes.map(({ of }) => of));
        for (const [i, finer] of half.pieces[0]!.classes.entries()) {
          const before = whole.pieces[0]!.classes[i]!;
          expect(finer.areaMm2).toBeCloseTo(before.areaMm2, 6);
          expect(finer.cuspMm.p95).toBeCloseTo(before.cuspMm.p95 / 2, 6);
          expect(finer.needMm).toBeLessThanOrEqual(before.needMm);
          expect(finer.rounds).toBeLessThanOrEqual(before.rounds);
        }
        expectNoMoreWork(half, whole);
      }),
      RUNS,
    );
  });

  it('of finer layers shows no wider tread on any triangle', () => {
    fc.assert(
      fc.property(body, mm(0.06, 0.6), (of, layerMm) => {
        const mesh = meshFor(of);
        const all = { widestMm: 30, isAsked: () => true };
        const whole = treadWidths(mesh, { ...all, layerMm });
        const half = treadWidths(mesh, { ...all, layerMm: layerMm / 2 });
        for (const [tri, width] of half.entries()) expect(width).toBeLessThanOrEqual(whole[tri]! * NO_MORE);
      }),
      RUNS,
    );
  });

  it('is the same however a piece is turned about the vertical', () => {
    fc.assert(
      fc.property(body, run, mm(0, 360), (of, on, deg) => {
        const mesh = meshFor(of);
        const [a, b] = [mesh, turnedAboutZ(mesh, deg)].map((one) => finishOf([one], on)) as [Finish, Finish];
        expect(b.rounds).toBe(a.rounds);
        expect(b.totals.handsOnS / a.totals.handsOnS).toBeCloseTo(1, 6);
        expect(b.totals.unattendedS).toBe(a.totals.unattendedS);
        expect(b.shopping.map(({ packs }) => packs)).toEqual(a.shopping.map(({ packs }) => packs));
        for (const [i, { areaMm2, rounds }] of a.pieces[0]!.classes.entries()) {
          expect(b.pieces[0]!.classes[i]!.areaMm2 / areaMm2).toBeCloseTo(1, 6);
          expect(b.pieces[0]!.classes[i]!.rounds).toBe(rounds);
        }
      }),
      RUNS,
    );
  });

  it('stands out as far upside down: what is held changes, the steps do not', () => {
    fc.assert(
      fc.property(body, run, (of, on) => {
        const mesh = meshFor(of);
        const unheld = { ...on, overhangLimitDeg: 90 };
        const up = finishOf([mesh], unheld).pieces[0]!;
        const over = finishOf([turnedAboutX(mesh, 180)], unheld).pieces[0]!;
        for (const [i, { areaMm2, cuspMm }] of up.classes.entries()) {
          expect(over.classes[i]!.areaMm2 / areaMm2).toBeCloseTo(1, 6);
          expect(over.classes[i]!.cuspMm.p95).toBeCloseTo(cuspMm.p95, 5);
        }
        const held = finishOf([turnedAboutX(mesh, 180)], on).pieces[0]!;
        expect(held.areaMm2 / up.areaMm2).toBeCloseTo(1, 9);
      }),
      RUNS,
    );
  });

  it('of a plate follows its pose: no step on it upright, a whole layer as it nears level', () => {
    fc.assert(
      fc.property(mm(0, 89), mm(0, 90), run, (a, b, on) => {
        const cusp = (deg: number): number => {
          const { classes } = finishOf([turnedAboutX(box(80, 80, 0.2), 90 - deg)], on).pieces[0]!;
          return Math.max(...classes.filter(({ areaMm2 }) => areaMm2 > 5000).map(({ cuspMm }) => cuspMm.p50));
        };
        expect(cusp(a)).toBeCloseTo(on.layerMm * Math.sin((a * Math.PI) / 180), 5);
        if (a <= b) expect(cusp(a)).toBeLessThanOrEqual(cusp(b) * NO_MORE);
      }),
      RUNS,
    );
  });

  it('takes no less of anything for more surface: a piece more, or all of it larger', () => {
    fc.assert(
      fc.property(body, body, run, mm(1, 2), (of, other, on, by) => {
        const [mesh, more] = [meshFor(of), meshFor(other)];
        const one = finishOf([mesh], on);
        expectNoMoreWork(one, finishOf([mesh, more], on));
        const larger = finishOf([transformMesh([by, 0, 0, 0, by, 0, 0, 0, by, 0, 0, 0], mesh)], on);
        expect(bought(larger, FILLERS.primer.name)).toBeGreaterThanOrEqual(bought(one, FILLERS.primer.name) / NO_MORE);
        expect(larger.totals.areaMm2 / one.totals.areaMm2 / by ** 2).toBeCloseTo(1, 6);
      }),
      RUNS,
    );
  });

  it('takes no less for a closer look, and no more when more is sanded off first', () => {
    fc.assert(
      fc.property(body, run, mm(0, 0.2), (of, on, further) => {
        const mesh = meshFor(of);
        const at = (some: SurfaceRun['settings']): Finish =>
          finishOf([mesh], { ...on, settings: { ...on.settings, ...some } });
        const [stage, hand, camera] = [at({ target: 'stage' }), at({ target: 'hand' }), at({ target: 'camera' })];
        expectNoMoreWork(stage, hand);
        expectNoMoreWork(hand, camera);
        expectNoMoreWork(at({ sandedMm: on.settings.sandedMm! + further }), at({}));
      }),
      RUNS,
    );
  });

  it('meets its dew earlier on a wetter day and on a warmer one, and never above the air', () => {
    fc.assert(
      fc.property(mm(-10, 45), mm(1, 100), mm(0, 20), (airC, humidity, more) => {
        const dew = dewPointC(airC, humidity);
        expect(dew).toBeLessThanOrEqual(airC + 1e-9);
        expect(dewPointC(airC, Math.min(100, humidity + more))).toBeGreaterThanOrEqual(dew - 1e-9);
        expect(dewPointC(airC + more, humidity)).toBeGreaterThanOrEqual(dew - 1e-9);
        expect(dewPointC(airC, 100)).toBeCloseTo(airC, 9);
      }),
      { seed: SEED, numRuns: 500 },
    );
  });
});
