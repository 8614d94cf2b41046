// The map of reach: the shell from two sides, hatched the closer the smaller the tool is that gets there.
import type { Work } from '../../base/work.ts';
import { hatchLines } from '../../geometry/hatch-lines.ts';
import { unit } from '../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { twoSides } from './two-sides.ts';

/** Between lines, mm, by 1 + the place in FINISH_TOOLS: folded paper, swab, finger, block; the sander's places stay bare. */
const SPACING_MM = [1.6, 2.6, 4.5, 9] as const;
/** Aslant to the axes, so that lines cross upright walls and level faces alike. */
const ACROSS: Vec3 = unit([0.45, 0.25, 0.86]);

/** `perTri`: as SurfaceReach. Space: worn. */
export function drawReach(mesh: Mesh, perTri: Uint8Array, work: Work): string {
  const hatched = SPACING_MM.flatMap((spacingMm, tool) =>
    hatchLines(mesh, trianglesOf(perTri, tool + 1), { normal: ACROSS, spacingMm }),
  );
  return twoSides([{ id: 'shell', mesh, hatched }], 'What sands where, from its', work);
}

/** Offsets into `triangles`. */
function trianglesOf(perTri: Uint8Array, of: number): Uint32Array {
  const found: number[] = [];
  for (let t = 0; t < perTri.length; t++) if (perTri[t] === of) found.push(t * 3);
  return Uint32Array.from(found);
}
