// The model with what a millimetre of seam costs at every place.
import type { Mesh } from '../../../src/mesh/mesh.ts';
import { creasesOf } from './crease.ts';
import { type Exposure, type ExposureOptions, exposureOf } from './exposure.ts';
import { type RayTree, rayTree } from './ray-tree.ts';
import { type RefinedModel, refinedModel } from './refined-model.ts';

/** A line nobody looks at still has to be glued. */
export const HIDDEN = 0.08;

export interface PricedModel extends RefinedModel {
  readonly tree: RayTree;
  readonly exposure: Exposure;
  readonly crease: Float64Array;
  /** A triangle: 0 on the inside, else HIDDEN to 1. */
  readonly price: Float64Array;
}

/** Linear in the triangles times the rays. */
export function pricedModel(mesh: Mesh, options: ExposureOptions = {}): PricedModel {
  const model = refinedModel(mesh);
  const tree = rayTree(model.mesh);
  const exposure = exposureOf(model, tree, options);
  const crease = creasesOf(model);
  const price = Float64Array.from(exposure.seen, (seen, t) =>
    exposure.outside[t] === 1 ? HIDDEN + (1 - HIDDEN) * seen * (1 - crease[t]!) : 0,
  );
  return { ...model, tree, exposure, crease, price };
}
