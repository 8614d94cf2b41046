import { describe, expect, test } from 'vitest';
import { box, together } from '../../../../src/mesh/builders.ts';
import { areaNormals } from '../../../../src/mesh/measure.ts';
import { memoryMeshStore } from '../../../../src/mesh/memory-mesh-store.ts';
import { type Mesh, numTris } from '../../../../src/mesh/mesh.ts';
import type { SurfaceReach, SurfaceRecord } from '../../../../src/workshop/process/surface-record.ts';
import { surfaceFindings } from '../../../../src/workshop/surface/surface-findings.ts';
import { surfaceReach } from '../../../../src/workshop/surface/surface-reach.ts';
import { SurfaceSettings } from '../../../../src/workshop/surface/surface-settings.ts';
import { surfaceWork } from '../../../../src/workshop/surface/surface-work.ts';
import { testKernel } from '../../../support/kernel.ts';
import { layerTrack } from '../../../support/layer-track.ts';
import { WAKING } from '../../../support/surface-run.ts';

const SETTINGS = { ...SurfaceSettings.parse({}), softMm: 2 };

/** Of the first body what looks up is outside; the piece is the whole. */
async function reachOf(mesh: Mesh, settings = SETTINGS): Promise<SurfaceReach> {
  const work = { seed: 1, tick: () => {}, meshes: memoryMeshStore(), solid: await testKernel() };
  const normals = areaNormals(mesh);
  const seen = Uint8Array.from({ length: numTris(mesh) }, (_, t) => (t < 12 && normals[t * 3 + 2]! > 0 ? 200 : 0));
  const { perTri, soft } = surfaceReach({ mesh, seen }, settings, work);
  const areaMm2 = [0, 0, 0, 0, 0];
  for (const [t, place] of perTri.entries())
    if (place > 0) areaMm2[place - 1]! += Math.hypot(...normals.subarray(t * 3, t * 3 + 3)) / 2;
  return { areaMm2, pieces: [], perTri, soft };
}

const plate = (thick: number) => box([-100, -100, -thick], [100, 100, 0]);
const between = (gap: number) => [box([-150, -150, -3], [-gap, 150, 60]), box([gap, -150, -3], [150, 150, 60])];

describe('what sands where', () => {
  test('a free plate is all for the sander, and as thin as it is', async () => {
    const reach = await reachOf(plate(1.5));
    expect(reach.areaMm2).toEqual([0, 0, 0, 0, 40_000]);
    expect(reach.soft.length).toBe(1);
    expect(reach.soft[0]!.areaMm2).toBeCloseTo(40_000, 6);
    expect(reach.soft[0]!.thinnestMm).toBeCloseTo(1.5, 4);
  });

  test('nothing is soft over the limit, nor where no sander gets', async () => {
    expect((await reachOf(plate(1.5), { ...SETTINGS, softMm: 1.4 })).soft).toEqual([]);
    const floor = box([-12, -100, -1.5], [12, 100, 0]);
    const reach = await reachOf(together([floor, ...between(12)]));
    expect(reach.areaMm2).toEqual([0, 0, 24 * 200, 0, 0]);
    expect(reach.soft).toEqual([]);
  });

  test('a soft wall is told with its area, its limit, its place and what to do', async () => {
    const reach = await reachOf(plate(1.5));
    const record = { reach, wideSteps: [], coats: [], dewPointC: 5 } as unknown as SurfaceRecord;
    const [told, ...others] = surfaceFindings(record, SETTINGS);
    expect(others).toEqual([]);
    expect(told).toMatchObject({ code: 'WALL_SOFTENS', limit: 2, unit: 'mm' });
    expect(told!.say).toContain('400 cm² of wall thinner than 2.0 mm');
    expect(told!.say).toContain('by hand or wet');
  });

  test('hours grow as tools get smaller, by their seconds a square centimetre alone', () => {
    const walls = { of: 'walls', areaMm2: 1e5, cuspMm: { p50: 0.1, p95: 0.1 }, needMm: 0.1, rounds: 1 } as const;
    const piece = { piece: 'A', areaMm2: 1e5, ringMm: 0, flareMm: 0, starts: layerTrack(100) };
    const handsOn = (reachMm2: readonly number[]): number => {
      const pieces = [{ ...piece, classes: [{ ...walls, reachMm2 }] }];
      return surfaceWork({ pieces, seams: [], reach: { areaMm2: reachMm2 } }, SETTINGS, WAKING).totals.handsOnS;
    };
    const ladder = [0, 1, 2, 3, 4].map((i) => handsOn([0, 1, 2, 3, 4].map((k) => (k === i ? 1e5 : 0))));
    for (let i = 1; i < ladder.length; i++) expect(ladder[i]!).toBeLessThan(ladder[i - 1]!);
    // sanded bare with two papers, in the one round with one and at the end with two: 5 x 1000 cm2 x (3 - 0.3) s
    expect(ladder[0]! - ladder[4]!).toBeCloseTo(5 * 1000 * 2.7, 6);
    expect(handsOn([5e4, 0, 0, 0, 5e4])).toBeCloseTo((ladder[0]! + ladder[4]!) / 2, 6);
  });
});
