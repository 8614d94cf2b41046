// The map of reach: the shell from two sides, hatched the closer the smaller the tool is that gets there, crossed where it could soften.
import type { Work } from '../../base/work.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { SurfaceReach } from '../../workshop/process/surface-record.ts';
import { reachLines, softMarks, warmLines } from './reach-lines.ts';
import { twoSides } from './two-sides.ts';

/** Space: worn. */
export function drawReach(mesh: Mesh, reach: Pick<SurfaceReach, 'perTri' | 'soft'>, work: Work): string {
  const { outlines, crossed } = warmLines(mesh, softMarks(reach));
  const hatched = [...reachLines(mesh, reach.perTri), ...crossed];
  return twoSides([{ id: 'shell', mesh, hatched, rims: outlines }], 'What sands where, from its', work);
}
