// The Keeper's helm: a storm helm for a lighthouse keeper, the main piece of the demonstration.
import type { Field } from '../../geometry/isosurface.ts';
import { common, joined } from './field.ts';
import { formAt } from './helm-form.ts';

export const WALL_MM = 3;

/** Its solid, upright, mm, face to +y, mirrored at x = 0 exactly. */
export const keepersHelm: Field = (x, y, z) => {
  const ax = Math.abs(x);
  const form = formAt(ax, y, z);
  let solid = form;
  const brimZ = 158 + 0.06 * y - 0.0005 * x * x - 0.002 * Math.max(0, -(y + 20)) ** 2;
  const outline = Math.hypot(x / 125, y / (y > 0 ? 138 : 162)) * 130 - 130;
  solid = joined(solid, common(Math.abs(z - brimZ) * 0.85 - 1.5, outline), 5);
  solid = Math.max(solid, -(form + WALL_MM), -z);
  const slot = Math.hypot(Math.max(0, ax - 62), z - 124) - 16;
  return y > 0 ? Math.max(solid, -slot) : solid;
};

export const KEEPERS_HELM_BOUNDS = { minMm: [-130, -168, -4], maxMm: [130, 145, 312] } as const;
