import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { layingFrames } from '../../../src/geometry/laying-frames.ts';
import { ON_ITS_FRAMES, type PlaneSweep, sweepPlanes, sweptPart } from '../../../src/geometry/plane-sweep.ts';
import { type SurfaceSamples, surfaceSamples } from '../../../src/geometry/surface-patches.ts';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';
import { blockMesh } from '../../support/pieces/block-mesh.ts';
import { sphereMesh } from '../../support/pieces/round-shapes.ts';

function swept(mesh: Mesh, normal: Vec3, stride = 1): { samples: SurfaceSamples; sweep: PlaneSweep } {
  const samples = surfaceSamples(mesh, QUIET_WORK);
  const all = Int32Array.from({ length: samples.num }, (_, i) => i);
  const half = new Float64Array(samples.num).fill(0.5);
  const part = sweptPart(samples, half, all, { points: samples.points, frames: layingFrames([[0, 0, 1]]), stride });
  const boxes = [{ widthMm: 90, depthMm: 90, heightMm: 60.01 }];
  const sweep = sweepPlanes(part, normal, { stepMm: 2, grazingMm: 8, boxes, standing: ON_ITS_FRAMES });
  return { samples, sweep };
}

describe('a swept sphere of radius 100', () => {
  const { samples, sweep } = swept(sphereMesh(100, 5), [0.6, 0, 0.8]);

  it('keeps the area in its samples', () => {
    const area = samples.areaMm2.reduce((sum, a) => sum + a, 0);
    expect(area / (4 * Math.PI * 1e4)).toBeGreaterThan(0.998);
    expect(area / (4 * Math.PI * 1e4)).toBeLessThan(1);
  });

  it('finds circles of 2 pi sqrt(R^2 - d^2), weighted ones half of that', () => {
    for (let k = 5; k < sweep.num - 5; k++) {
      const d = sweep.firstMm + k * sweep.stepMm;
      if (Math.abs(d) > 80) continue;
      const truth = 2 * Math.PI * Math.sqrt(1e4 - d * d);
      expect(Math.abs(sweep.seamMm[k]! / (truth / 2) - 1)).toBeLessThan(0.12);
    }
  });

  it('finds areas 2 pi R (R + d) below, and both sides add up', () => {
    for (let k = 0; k < sweep.num; k++) {
      const d = sweep.firstMm + k * sweep.stepMm;
      const below = sweep.areaMm2[k * 2]!;
      expect(Math.abs(below - 2 * Math.PI * 100 * (100 + d))).toBeLessThan(4000);
      expect(below + sweep.areaMm2[k * 2 + 1]!).toBeCloseTo(sweep.areaMm2[0]! + sweep.areaMm2[1]!, 3);
    }
  });
});

describe('a sphere of which every second sample is swept', () => {
  const { samples, sweep } = swept(sphereMesh(100, 5), [0.6, 0, 0.8], 2);
  const area = samples.areaMm2.reduce((sum, a) => sum + a, 0);

  it('still stands for all of its area, weighted and not', () => {
    expect((sweep.areaMm2[0]! + sweep.areaMm2[1]!) / area).toBeCloseTo(1, 5);
    expect((sweep.weighedMm2[0]! + sweep.weighedMm2[1]!) / (area / 2)).toBeCloseTo(1, 5);
  });

  it('finds its circles a little less closely', () => {
    for (let k = 5; k < sweep.num - 5; k++) {
      const d = sweep.firstMm + k * sweep.stepMm;
      if (Math.abs(d) > 80) continue;
      const truth = Math.PI * Math.sqrt(1e4 - d * d);
      expect(Math.abs(sweep.seamMm[k]! / truth - 1)).toBeLessThan(0.2);
    }
  });
});

describe('a swept block of 120 x 80 x 60', () => {
  const { sweep } = swept(blockMesh([120, 80, 60]), [1, 0, 0]);

  it('finds the section line of 280 and no grazing surface in the middle', () => {
    const middle = Math.round((0 - sweep.firstMm) / sweep.stepMm);
    expect(Math.abs(sweep.seamMm[middle]! / 140 - 1)).toBeLessThan(0.05);
    expect(sweep.grazingMm2[middle]).toBeCloseTo(0, 6);
    expect(sweep.grazingMm2[0]!).toBeGreaterThan(0.9 * 80 * 60);
  });

  it('finds a side that fits a box of 90 x 90 x 60 while it is shorter than that', () => {
    for (let k = 0; k < sweep.num; k++) {
      const d = sweep.firstMm + k * sweep.stepMm;
      if (Math.abs(d + 60 - 90) > 2) expect(sweep.pieces[k * 2] === 1).toBe(d + 60 < 90);
      if (Math.abs(60 - d - 90) > 2) expect(sweep.pieces[k * 2 + 1] === 1).toBe(60 - d < 90);
    }
  });
});
