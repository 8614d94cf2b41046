// What a pose costs, by hand: hands and hours in one sum, and a stand on support that does not count as firm.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { box } from '../../../../src/mesh/builders.ts';
import { numTris } from '../../../../src/mesh/mesh.ts';
import type { Transform } from '../../../../src/mesh/transform.ts';
import { IDENTITY } from '../../../../src/mesh/transform.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { PLA } from '../../../../src/workshop/facts/materials.ts';
import { poseBody, printsLying } from '../../../../src/workshop/printing/pose-choice.ts';
import { poseScore, unsteadiness } from '../../../../src/workshop/printing/pose-score.ts';
import { INSIDE } from '../../../../src/workshop/printing/surface-kinds.ts';
import { PrintSettings } from '../../../../src/workshop/process/print-settings.ts';

const NONE_HELD = { shownMm2: 0, jointMm2: 0, hiddenMm2: 0 };
const BARE = { printS: 3600, unsteady: 0, supportG: 0, held: NONE_HELD, terracesMm2: 0 };

describe('score', () => {
  it('is the time of the machine where there is nothing for hands', () => {
    expect(poseScore(BARE)).toBe(3600);
    expect(poseScore({ ...BARE, unsteady: 0.5 })).toBe(5400);
  });

  it.each([
    ['a gram of support', { supportG: 1 }, 30],
    ['a cm2 of scars that show', { held: { ...NONE_HELD, shownMm2: 100 } }, 60],
    ['a cm2 of scars on a joint', { held: { ...NONE_HELD, jointMm2: 100 } }, 60],
    ['a cm2 of scars inside', { held: { ...NONE_HELD, hiddenMm2: 100 } }, 3],
    ['a cm2 of terraces', { terracesMm2: 100 }, 6],
  ])('counts the seconds of hands for %s as three of the machine', (_, more, handsS) => {
    expect(poseScore({ ...BARE, ...more }) - 3600).toBeCloseTo(3 * handsS, 9);
  });
});

describe('stand', () => {
  const firm = { slenderness: 3, tipDeg: 30, ownFootMm2: 400 };

  it.each([
    ['400 mm2 of its own', firm, 0],
    ['half of that', { ...firm, ownFootMm2: 200 }, 0.25],
    ['support alone', { ...firm, ownFootMm2: 0 }, 0.5],
    ['a slender foot', { ...firm, slenderness: 8 }, 0.2],
    ['an edge', { ...firm, tipDeg: 0 }, 0.5],
    ['all at once', { slenderness: 20, tipDeg: -5, ownFootMm2: 0 }, 1],
  ])('on %s', (_, stand, share) => {
    expect(unsteadiness(stand)).toBeCloseTo(share, 12);
  });

  it('does not count support: a slab on its edge, leaning, has much plastic on the bed and nearly none of its own', () => {
    const slab = box([0, 0, 0], [60, 40, 6]);
    const lean = (60 * Math.PI) / 180;
    // about x, then lifted so that its lowest edge lies on the bed
    const leaning: Transform = [
      1,
      0,
      0,
      0,
      Math.cos(lean),
      Math.sin(lean),
      0,
      -Math.sin(lean),
      Math.cos(lean),
      0,
      6 * Math.sin(lean),
      0,
    ];
    const machine = ordinaryMachine([120, 120, 120]);
    const settings = { print: PrintSettings.parse({ overhangLimitDeg: 20 }), machines: [machine], material: PLA };
    const body = poseBody(slab, new Uint8Array(numTris(slab)).fill(INSIDE));
    const lying = (toLaid: Transform) =>
      printsLying(
        body,
        [{ machine: machine.id, toLaid, sizeMm: [60, 50, 50], lies: 'hull face' }],
        settings,
        QUIET_WORK,
      )[0]!;
    const [flat, edge] = [lying(IDENTITY), lying(leaning)];
    expect(flat.ownFootMm2).toBeCloseTo(2400, 6);
    expect(flat.footMm2).toBe(flat.ownFootMm2);
    expect(flat.unsteady).toBe(0);
    expect(edge.footMm2).toBeGreaterThan(100);
    expect(edge.ownFootMm2).toBeLessThan(30);
    expect(edge.unsteady).toBeGreaterThan(0.45);
  });
});
