// Layers as they are laid, cut and stacked by a judge of its own, against the maps that the Surface chapter predicts: the judge itself, and balls.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { icoSphere } from '../../src/mesh/builders.ts';
import { numTris } from '../../src/mesh/mesh.ts';
import { comparedOn, laid } from '../support/foretold-relief.ts';
import { faceOf, reliefAt, steppedSolid } from '../support/layer-relief.ts';
import { box } from '../support/printing-shapes.ts';

describe('the judge', () => {
  const { value } = JSON.parse(readFileSync(new URL('./surface-layer-steps.json', import.meta.url), 'utf8')) as {
    value: [number, number, number][];
  };
  it.each(value.filter(([deg]) => deg < 90))(
    'finds the published steps on a slope of %d degrees',
    (deg, cuspMm, treadMm) => {
      const mesh = laid(box(60, 60, 60), deg);
      const up = Array.from({ length: numTris(mesh) }, (_, tri) => faceOf(mesh, tri)).find(
        ({ normal }) => Math.abs(normal[2] - Math.cos((deg * Math.PI) / 180)) < 1e-9,
      )!;
      const middle = [0, 1, 2].map((k) => up.corners.reduce((sum, corner) => sum + corner[k]! / 3, 0));
      const relief = reliefAt(steppedSolid(mesh, 0.2), middle as unknown as [number, number, number], up.normal)!;
      expect(Math.abs(relief.depthMm! - cuspMm)).toBeLessThan(0.00005 + 1e-9);
      expect(Math.abs(relief.spacingMm - treadMm)).toBeLessThan(0.0005 + 1e-9);
    },
  );

  it('measures no step on an upright face, and the whole of a narrow top', () => {
    const post = steppedSolid(box(4, 4, 10), 0.2);
    expect(reliefAt(post, [2, 0.3, 5.03], [1, 0, 0])).toEqual({ depthMm: expect.closeTo(0, 9), spacingMm: 0 });
    // leaning by a hair
    const top = reliefAt(post, [0.5, 0.3, 9.99], [0.001, 0, 1])!;
    expect(top).toEqual({ depthMm: null, spacingMm: expect.closeTo(4, 9) });
  });
});

describe('on a ball of 50 mm', () => {
  const ball = laid(icoSphere(50, 5), 0);
  it.each([0.1, 0.2, 0.3])('layers of %d mm leave the valleys and treads foretold', (layerMm) => {
    comparedOn(ball, layerMm, () => true)(() => true);
  });
});
