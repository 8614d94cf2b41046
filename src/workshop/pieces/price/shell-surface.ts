// What the price of seams asks of a shell before anybody looks at it: three things that do not wait for each other.
import { runShares } from '../../../base/shares.ts';
import type { Share, Work } from '../../../base/work.ts';
import { concaveCreases } from '../../../geometry/concave-creases.ts';
import { type SurfaceSamples, surfaceSamples } from '../../../geometry/surface-patches.ts';
import { type BoundingTree, buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import type { Mesh } from '../../../mesh/mesh.ts';

export interface ShellSurface {
  readonly tree: BoundingTree;
  /** Not knowing yet which of them lie across a wall. */
  readonly samples: SurfaceSamples;
  /** See concaveCreases. */
  readonly crease: Float32Array;
}

type Asked = keyof ShellSurface;

export const surfaceShare: Share<{ readonly mesh: Mesh; readonly aimNum: number }, Asked, Partial<ShellSurface>> = {
  name: 'surface of a shell',
  run({ mesh, aimNum }, asked, work) {
    if (asked === 'tree') return { tree: buildBoundingTree(mesh, work) };
    if (asked === 'samples') return { samples: surfaceSamples(mesh, work, { aimNum }) };
    return { crease: concaveCreases(mesh, work) };
  },
};

/** The tree comes first: it takes longest and is largest, and so is made in the caller's own thread. Cost: that of its three parts,
 *  docs/methods/seam-price.md; side by side about that of the tree. */
export function shellSurface(mesh: Mesh, aimNum: number, work: Work): ShellSurface {
  const parts = runShares(work, surfaceShare, { mesh, aimNum }, ['tree', 'samples', 'crease']);
  return Object.assign({}, ...parts) as ShellSurface;
}
