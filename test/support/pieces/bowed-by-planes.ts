// A model cut by planes and then bowed, with the prices the program knows for it, and the laws every bowed division must keep.
import { expect } from 'vitest';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { selfCrossings } from '../../../src/geometry/crossings/self-crossings.ts';
import { roundToSingle } from '../../../src/geometry/round-to-single.ts';
import { bounds, volume } from '../../../src/mesh/measure.ts';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../src/mesh/transform.ts';
import { NOTHING_ASKED } from '../../../src/workshop/pieces/asked/asked-at-size.ts';
import { bowSeams, type FinishedDivision } from '../../../src/workshop/pieces/bow/bow-seams.ts';
import { seamFaces } from '../../../src/workshop/pieces/cut/seam-faces.ts';
import { PiecesSettings } from '../../../src/workshop/pieces/pieces-settings.ts';
import { seamLines } from '../../../src/workshop/pieces/price/seam-lines.ts';
import type { SeamPrice } from '../../../src/workshop/pieces/price/seam-price.ts';
import { sampledShell } from '../../../src/workshop/pieces/search/shell-task.ts';
import type { ShownSeam } from '../../../src/workshop/process/pieces-record.ts';
import { testKernel } from '../kernel.ts';
import { numBadEdges } from '../section-shapes.ts';
import { collisionSweep } from './collision-sweep.ts';
import { cutByPlanes, type PlaneTree, wholeOf } from './cut-by-planes.ts';

const ROOMY: Vec3 = [500, 500, 500];

export interface BowedByPlanes {
  readonly mesh: Mesh;
  readonly price: SeamPrice;
  readonly flat: FinishedDivision;
  readonly bowed: FinishedDivision;
}

export async function bowedByPlanes(mesh: Mesh, tree: PlaneTree, mirrorX: number | null): Promise<BowedByPlanes> {
  const settings = {
    ...PiecesSettings.parse({ beds: [{ id: 'bed', bedMm: ROOMY }] }),
    demands: NOTHING_ASKED,
    scale: 1,
  };
  const { price } = sampledShell(mesh, settings, QUIET_WORK);
  const flat = cutByPlanes(mesh, tree);
  const meshes = { get: (): Mesh => mesh, put: () => '' };
  const work = { ...QUIET_WORK, solid: await testKernel(), meshes };
  const made = bowSeams(wholeOf(mesh), flat, { shell: price, mirrorX, settings, work });
  if (!made.ok) throw new Error(made.why);
  return { mesh, price, flat, bowed: made.value };
}

/** Cut by cut: what its seams cost, and how far they leave the plane at most. */
export function costOfCuts({ parts, cuts }: FinishedDivision, price: SeamPrice): { costMm: number; bowMm: number }[] {
  const faces = seamFaces(parts, cuts, price.isOuter);
  const shown: readonly ShownSeam[] = seamLines(
    parts.map(({ part }, i) => ({ mesh: part.mesh, sourceTri: faces.sourceTri[i]! })),
    faces.seams,
    price,
  );
  return cuts.map((_, cut) => {
    const own = faces.seams.flatMap((face, i) => (face.cut === cut ? [{ ...face, costMm: shown[i]!.costMm }] : []));
    return {
      costMm: own.reduce((sum, { costMm }) => sum + costMm, 0),
      bowMm: own.reduce((most, { bowMm }) => Math.max(most, bowMm), 0),
    };
  });
}

/** Closed, also as written, crossing itself no more than the model does, nothing lost, poses that hold the piece, and no cut dearer than it was flat. */
export function expectBowedLaws({ mesh, price, flat, bowed }: BowedByPlanes): void {
  expect(bowed.parts.map(({ path }) => path)).toEqual(flat.parts.map(({ path }) => path));
  for (const { part } of bowed.parts) expect(numBadEdges(part.mesh)).toBe(0);
  const sum = bowed.parts.reduce((total, { part }) => total + volume(part.mesh), 0);
  expect(Math.abs(sum / volume(mesh) - 1)).toBeLessThan(1e-9);
  bowed.parts.forEach(({ part }, i) => {
    for (const pose of bowed.poses[i]!.slice(0, 1)) {
      const { minMm, maxMm } = bounds(transformMesh(pose.toLaid, part.mesh));
      for (const c of [0, 1, 2] as const) expect(Math.abs(maxMm[c] - minMm[c] - pose.sizeMm[c])).toBeLessThan(1e-3);
    }
  });
  const own = selfCrossings(mesh).pairs;
  const written = bowed.parts.map(({ part }) => roundToSingle(part.mesh, part.sourceTri));
  for (const one of written) expect(one.numBadEdges + one.numNeedles).toBe(0);
  expect(written.reduce((pairs, one) => pairs + selfCrossings(one.mesh).pairs, 0)).toBeLessThanOrEqual(own);
  const before = costOfCuts(flat, price);
  costOfCuts(bowed, price).forEach(({ costMm, bowMm }, cut) => {
    expect(costMm).toBeLessThan(before[cut]!.costMm * (bowMm > 0 ? 0.951 : 1.02) + 1e-6);
  });
}

/** Pieces on either side of every bowed cut come apart along its normal without touching, and are caught when pushed together. */
export function expectPullable({ price, bowed }: BowedByPlanes): void {
  const faces = seamFaces(bowed.parts, bowed.cuts, price.isOuter);
  const pairs = new Map(faces.seams.filter(({ bowMm }) => bowMm > 0).map((one) => [`${one.below} ${one.above}`, one]));
  expect(pairs.size).toBeGreaterThan(0);
  for (const { below, above, plane } of pairs.values()) {
    const [under, over] = [bowed.parts[below]!.part.mesh, bowed.parts[above]!.part.mesh];
    expect(collisionSweep(under, over, plane.normal)).toEqual([]);
    const [x, y, z] = plane.normal;
    expect(collisionSweep(under, over, [-x, -y, -z], [1])).toEqual([1]);
  }
}
