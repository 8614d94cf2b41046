// A division by planes that a test names, carried out flat: what bowed seams start from, without a search.
import type { Plane } from '../../../src/geometry/plane.ts';
import { splitByPlane } from '../../../src/geometry/plane-split.ts';
import { splitComponents } from '../../../src/geometry/split-components.ts';
import type { Mesh } from '../../../src/mesh/mesh.ts';
import type { FinishedDivision } from '../../../src/workshop/pieces/bow/bow-seams.ts';
import type { CutPart, MadeCut } from '../../../src/workshop/pieces/cut/exact-division.ts';
import { testKernel } from '../kernel.ts';

/** A cut, and the cuts of what lies below and above it. */
export interface PlaneTree {
  readonly plane: Plane;
  readonly below?: PlaneTree;
  readonly above?: PlaneTree;
}

const kernel = await testKernel();

export function wholeOf(mesh: Mesh): CutPart['part'] {
  return { mesh, sourceTri: Int32Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t) };
}

/** Every connected part is a piece; poses are left empty. */
export function cutByPlanes(mesh: Mesh, tree: PlaneTree): FinishedDivision {
  const cuts: MadeCut[] = [];
  const parts: CutPart[] = [];
  const cut = (one: CutPart, node: PlaneTree | undefined): void => {
    if (node === undefined) {
      parts.push(one);
      return;
    }
    const index = cuts.push({ plane: node.plane, asked: node.plane }) - 1;
    const made = splitByPlane(one.part.mesh, node.plane, {
      triangulate: kernel.triangulate,
      sourceTri: one.part.sourceTri,
      capSourceOf: () => -1 - index,
    });
    if (!made.ok) throw new Error(made.why);
    for (const side of [0, 1] as const)
      for (const part of splitComponents(side === 0 ? made.value.below : made.value.above))
        cut({ part, path: [...one.path, { cut: index, side }] }, side === 0 ? node.below : node.above);
  };
  cut({ part: wholeOf(mesh), path: [] }, tree);
  return { parts, cuts, poses: parts.map(() => []) };
}
