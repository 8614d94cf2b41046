// Support under a sphere on its pole against the integral.
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { supportColumns } from '../../src/geometry/support-columns.ts';
import { sphere } from '../support/printing-shapes.ts';

const { value, tolerance } = JSON.parse(
  readFileSync(new URL('./print-sphere-support.json', import.meta.url), 'utf8'),
) as { value: number; tolerance: { relative: number } };

it.each([10, 60])('support under a sphere of %d mm is 0.216882 R^3', (radius) => {
  const { volumeMm3 } = supportColumns(sphere(radius, 360, 360), { limitDeg: 45 });
  expect(Math.abs(volumeMm3 / radius ** 3 / value - 1)).toBeLessThan(tolerance.relative);
});
