// A loose splice is written as it prints: on its inner face, smallest corner at 0, once for each.
import { describe, expect, it } from 'vitest';
import { box } from '../../../../src/mesh/builders.ts';
import { bounds, sizeOf, volume } from '../../../../src/mesh/measure.ts';
import { memoryMeshStore } from '../../../../src/mesh/memory-mesh-store.ts';
import type { JointsRecord, Key } from '../../../../src/workshop/process/joints-record.ts';
import { laidSplices } from '../../../../src/workshop/process/laid-splices.ts';

const meshes = memoryMeshStore();
// 16 along the seam (y), 20 across it (x), 2 from the wall inwards (-z)
const mesh = meshes.put(box([-10, 92, 48], [10, 108, 50]));
const strip = {
  kind: 'strip',
  carrier: 'A',
  receiver: 'B',
  atMm: [0, 100, 50],
  along: [0, 1, 0],
  into: [1, 0, 0],
  inward: [0, 0, -1],
} as unknown as Key;
const record = {
  joints: [
    { seam: 'A-B', keys: [strip, strip] },
    { seam: 'B-C', keys: [{ ...strip, kind: 'tab' }] },
  ],
  loose: [
    { seam: 'A-B', mesh },
    { seam: 'A-B', mesh },
    { seam: 'B-C', mesh: null },
  ],
} as unknown as JointsRecord;

describe('loose splices', () => {
  it('lie on the bed, each in a file of its own', () => {
    const laid = laidSplices(record, meshes);
    expect(laid.map(({ file }) => file)).toEqual(['splices/A-B-1.stl', 'splices/A-B-2.stl']);
    const box = bounds(laid[0]!.mesh);
    expect(box.minMm).toEqual([0, 0, 0]);
    expect(sizeOf(box)).toEqual([16, 20, 2]);
    expect(volume(laid[0]!.mesh)).toBeCloseTo(640, 9);
  });
});
