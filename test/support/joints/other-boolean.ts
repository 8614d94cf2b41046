// Volumes of unions without the solid kernel: by the arrangement of crossing triangles that mends models.
import { expect } from 'vitest';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { uncross } from '../../../src/geometry/mend/uncross/uncross.ts';
import { together } from '../../../src/mesh/builders.ts';
import { volume } from '../../../src/mesh/measure.ts';
import type { Mesh } from '../../../src/mesh/mesh.ts';

/** Of what the solids cover together, mm3. They must not touch without crossing. */
export function unionVolume(solids: readonly Mesh[]): number {
  if (solids.length === 0) return 0;
  const { mesh, pairsLeft } = uncross(together(solids), QUIET_WORK, { shiftShare: 1e-8 });
  expect(pairsLeft).toBe(0);
  return volume(mesh);
}

/** What keys add to a piece and what they take from it, mm3. */
export function keyVolumes(
  piece: Mesh,
  { add, cut }: { readonly add: readonly Mesh[]; readonly cut: readonly Mesh[] },
): { readonly moreMm3: number; readonly lessMm3: number } {
  const cutOnly = unionVolume(cut);
  const withCuts = unionVolume([piece, ...cut]);
  const withAll = unionVolume([piece, ...cut, ...add]);
  return { moreMm3: withAll - withCuts, lessMm3: volume(piece) + cutOnly - withCuts };
}
