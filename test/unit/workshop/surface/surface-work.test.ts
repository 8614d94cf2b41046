// The work of a helm reckoned by hand: 0.29 m2 of outside, 0.8 m of bare seams; packs, steps, hours.
import { describe, expect, it } from 'vitest';
import type { PieceSurface, SeamSurface } from '../../../../src/workshop/process/surface-record.ts';
import { SurfaceSettings } from '../../../../src/workshop/surface/surface.ts';
import { surfaceWork } from '../../../../src/workshop/surface/surface-work.ts';
import { layerTrack } from '../../../support/layer-track.ts';

const of = (name: 'rings' | 'walls' | 'scars', areaMm2: number, needMm: number, rounds: number) => ({
  of: name,
  areaMm2,
  cuspMm: { p50: 0.1, p95: 0.198 },
  needMm,
  rounds,
});
const HELM: readonly PieceSurface[] = [
  {
    piece: 'A',
    areaMm2: 150_000,
    classes: [of('rings', 60_000, 0.198, 2), of('walls', 90_000, 0.137, 1)],
    ringMm: 2,
    flareMm: 0,
    starts: layerTrack(150),
  },
  {
    piece: 'B',
    areaMm2: 140_000,
    classes: [of('walls', 130_000, 0.137, 1), of('scars', 10_000, 0.5, 2)],
    ringMm: 0,
    flareMm: 0,
    starts: layerTrack(160),
  },
];
const SEAMS: readonly SeamSurface[] = [
  { seam: 'B-A', lengthMm: 800, stepMm: 0.5, rounds: 2 },
  { seam: 'hidden', lengthMm: 500, stepMm: 0.05, rounds: 0 },
];
/** A third finger, two thirds block: 0.8 s a square centimetre. */
const REACH = { areaMm2: [0, 0, 1, 2, 0] };
const work = (some: Partial<SurfaceSettings> = {}, seams = SEAMS) =>
  surfaceWork({ pieces: HELM, seams, reach: REACH }, SurfaceSettings.parse(some));

describe('a helm of 0.29 m2', () => {
  const { rounds, primedMm2, fillingMl, shopping, steps, totals } = work();
  const bought = (what: string) => shopping.find((line) => line.what === what)!;

  it('is primed whole once, then where it still shows and along the seams, 20 times as wide as they step', () => {
    expect(rounds).toBe(2);
    expect(totals.areaMm2).toBe(290_000);
    expect(primedMm2).toEqual([290_000, 60_000 + 10_000 + 800 * 0.5 * 20]);
  });

  it('takes filling as wedges on seams and half the depth on marks, proud and with waste', () => {
    // seams 8000 mm2 a quarter deep, marks 10,000 mm2 a quarter deep; 0.2 proud; 1.3 for waste
    expect(fillingMl.left).toBeCloseTo((8000 * 0.25 + 10_000 * 0.25) / 1000, 9);
    expect(fillingMl.laid).toBeCloseTo(((8000 + 10_000) * 0.45 * 1.3) / 1000, 9);
  });

  it('takes whole packs', () => {
    // 0.368 m2 in three coats, of which a can of 400 ml covers 0.9 x 0.7 m2
    expect(bought('filler primer').amount).toBeCloseTo((0.368 * 3 * 400) / 0.63, 6);
    expect(bought('filler primer')).toMatchObject({ packs: 2, pack: 'can of 400 ml', unit: 'ml' });
    expect(bought('one-part glazing putty')).toMatchObject({ packs: 1, pack: 'tube of 100 ml' });
    // the first also before anything is filled, the coarser half in both rounds, the finer once
    const sheets = [120, 180, 220, 320, 400].map((grade) => bought(`paper P${grade}`));
    expect(sheets.map(({ amount }) => amount)).toEqual([658_000, 368_000, 368_000, 290_000, 290_000]);
    expect(sheets.map(({ packs }) => packs)).toEqual([6, 4, 4, 3, 3]);
  });

  it('is done in this order, each step after the one before', () => {
    const ids = steps.map(({ id }) => id);
    expect(ids).toEqual([
      'sand-bare',
      'fill-seams-1',
      'prime-1',
      'sand-1',
      'fill-seams-2',
      'prime-2',
      'sand-2',
      'harden',
    ]);
    expect(steps.map(({ after }) => after)).toEqual([[], ...ids.slice(0, -1).map((id) => [id])]);
    for (const { id, place } of steps) expect(place).toBe(id.startsWith('prime') ? 'spraying place' : 'bench');
    for (const { id, source, caution } of steps) {
      expect(source).toBe('Common practice, no source');
      expect(caution === null).toBe(id === 'harden');
    }
    expect(steps[3]!.name).toBe('Round 1: sand it with P120, P180, P220 until the guide coat is gone');
    expect(steps[6]!.name).toMatch(/guide coat is gone; then all of it with P320, P400$/);
  });

  it('takes hands by area, and waits for what dries', () => {
    const hands = steps.map(({ handsOnS }) => handsOnS);
    const paper = (cm2: number): number => 300 + cm2 * 0.8;
    const byHand = [
      paper(2900),
      300 + 180 * 3,
      300 + 3 * 2900 * 0.02,
      3 * paper(2900),
      300 + 180 * 3,
      300 + 3 * 780 * 0.02,
      3 * paper(780) + 2 * paper(2900),
    ];
    for (const [i, seconds] of byHand.entries()) expect(hands[i]).toBeCloseTo(seconds, 6);
    expect(totals.handsOnS).toBeCloseTo(
      byHand.reduce((sum, seconds) => sum + seconds, 0),
      6,
    );
    // putty overnight twice; three coats 20 minutes apart and an hour and a half before paper, twice; a day at the end
    expect(totals.unattendedS).toBe(2 * 12 * 3600 + 2 * (2 * 20 * 60 + 90 * 60) + 24 * 3600);
  });
});

describe('other ways', () => {
  it('lay resin over layer lines only, in every round that needs it, and sand it last', () => {
    const { steps, shopping } = work({ rings: 'resin' });
    expect(steps.map(({ id }) => id).slice(0, 4)).toEqual(['sand-bare', 'fill-seams-1', 'fill-1', 'prime-1']);
    // rings twice, walls once, marks of support never: 0.2 mm each time
    const { amount, packs, pack } = shopping.find(({ what }) => what === 'brush-on resin')!;
    expect(amount).toBeCloseTo(((60_000 * 2 + 220_000) * 0.2 * 1.3) / 1000, 9);
    expect({ packs, pack }).toEqual({ packs: 1, pack: 'bottle of 250 ml' });
  });

  it('buy one kind of putty on one line', () => {
    const lines = work({ rings: 'putty' }).shopping.filter(({ what }) => what === 'one-part glazing putty');
    expect(lines).toHaveLength(1);
    expect(lines[0]!.amount).toBeCloseTo((18_000 * 0.45 * 1.3 + 340_000 * 0.3 * 1.3) / 1000, 9);
    expect(lines[0]!.packs).toBe(2);
  });

  it('spray from a tin by film: 40 percent of solids, 30 um dry, three tenths land', () => {
    const primer = work({ primerFrom: 'gun' }).shopping[0]!;
    expect(primer.amount).toBeCloseTo((1000 * 0.368 * 3) / (400 / 30) / 0.3, 6);
    expect(primer).toMatchObject({ packs: 1, pack: 'tin of 1000 ml' });
  });

  it('prime once where nothing needs filling, and with one paper sand with that', () => {
    const pieces = [
      {
        piece: 'A',
        areaMm2: 1000,
        classes: [of('walls', 1000, 0.02, 0)],
        ringMm: 0,
        flareMm: 0,
        starts: layerTrack(10),
      },
    ];
    const { rounds, steps, fillingMl } = surfaceWork(
      { pieces, seams: [], reach: REACH },
      SurfaceSettings.parse({ ladder: [240] }),
    );
    expect(rounds).toBe(1);
    expect(steps.map(({ id }) => id)).toEqual(['sand-bare', 'prime-1', 'sand-1', 'harden']);
    expect(steps.at(-2)!.name).toBe('Round 1: sand it with P240 until the guide coat is gone');
    expect(fillingMl).toEqual({ laid: 0, left: 0 });
  });
});
