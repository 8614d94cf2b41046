import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../../src/base/work.ts';
import { surfaceSamples } from '../../../../../src/geometry/surface-patches.ts';
import type { Vec3 } from '../../../../../src/mesh/mesh.ts';
import { columnsUnder } from '../../../../../src/workshop/pieces/search/sample-support.ts';
import { blockMesh } from '../../../../support/pieces/block-mesh.ts';
import { sphereMesh } from '../../../../support/pieces/round-shapes.ts';

describe('columns under overhangs, from samples', () => {
  const samples = surfaceSamples(sphereMesh(100, 5), QUIET_WORK, { aimNum: 2000 });
  const all = Int32Array.from({ length: samples.num }, (_, i) => i);
  // under the cap that is steeper than 45 degrees: 2 pi R^3 (sin^2 / 2 + (cos^3 - 1) / 3) = 0.2169 R^3
  const angle = Math.PI / 4;
  const expected = 2 * Math.PI * 1e6 * (Math.sin(angle) ** 2 / 2 + (Math.cos(angle) ** 3 - 1) / 3);

  it.each<{ up: Vec3 }>([{ up: [0, 0, 1] }, { up: [1, 0, 0] }, { up: [0.6, 0, 0.8] }])(
    'of a ball are what its cap says, up $up',
    ({ up }) => {
      expect(Math.abs(columnsUnder(samples, all, up) / expected - 1)).toBeLessThan(0.2);
    },
  );

  it('of a block on its base are none', () => {
    const block = surfaceSamples(blockMesh([60, 50, 40]), QUIET_WORK, { aimNum: 1000 });
    const every = Int32Array.from({ length: block.num }, (_, i) => i);
    expect(columnsUnder(block, every, [0, 0, 1])).toBeCloseTo(0, 6);
  });
});
