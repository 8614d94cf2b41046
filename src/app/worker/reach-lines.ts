// Hatching of what sands where, the closer the smaller the tool; and cross-hatching of the walls that a sander's warmth could soften.
import { hatchLines } from '../../geometry/hatch-lines.ts';
import { openEdgeChains } from '../../geometry/open-edge-lines.ts';
import { unit } from '../../geometry/three-by-three.ts';
import { type Mesh, meshOf, type Vec3 } from '../../mesh/mesh.ts';
import type { SurfaceReach } from '../../workshop/process/surface-record.ts';

/** Between lines, mm, by place in FINISH_TOOLS: folded paper, swab, finger, block; the sander's places stay bare. */
const SPACING_MM = [1.6, 2.6, 4.5, 9] as const;
/** Aslant to the axes, so that lines cross upright walls and level faces alike. */
const ACROSS: Vec3 = unit([0.45, 0.25, 0.86]);
/** Of what softens: two ways at once, so that it is told from what one tool sands. */
const CROSSED: readonly Vec3[] = [ACROSS, unit([-0.62, 0.55, -0.56])];
const CROSSED_MM = 2.4;

/** Lines (xyz ...) on the mesh. `perTri`: as SurfaceReach, one a triangle of this mesh. Cost: O(triangles + steps of the lines). */
export function reachLines(mesh: Mesh, perTri: Uint8Array): Float32Array[] {
  return SPACING_MM.flatMap((spacingMm, tool) =>
    hatchLines(mesh, offsetsOf(perTri, tool + 1), { normal: ACROSS, spacingMm }),
  );
}

/** A mark a triangle of the worn shell: 1 where a sander's warmth could soften the wall, else 0. */
export function softMarks({ perTri, soft }: Pick<SurfaceReach, 'perTri' | 'soft'>): Uint8Array {
  const marks = new Uint8Array(perTri.length);
  for (const { triangles } of soft) for (const tri of triangles) marks[tri] = 1;
  return marks;
}

/** Outlines and cross-hatching (xyz ...) of some triangles, given as marks: 1, one a triangle of this mesh, else 0. */
export function warmLines(
  mesh: Mesh,
  marks: Uint8Array,
): { readonly outlines: readonly Float32Array[]; readonly crossed: readonly Float32Array[] } {
  const some = offsetsOf(marks, 1);
  if (some.length === 0) return { outlines: [], crossed: [] };
  const triangles = new Uint32Array(some.length * 3);
  some.forEach((t, i) => {
    triangles.set(mesh.triangles.subarray(t, t + 3), i * 3);
  });
  return {
    outlines: openEdgeChains(meshOf(mesh.positions, triangles)),
    crossed: CROSSED.flatMap((normal) => hatchLines(mesh, some, { normal, spacingMm: CROSSED_MM })),
  };
}

/** Into `triangles`. */
function offsetsOf(perTri: Uint8Array, of: number): Uint32Array {
  let num = 0;
  for (const each of perTri) if (each === of) num++;
  const found = new Uint32Array(num);
  for (let t = 0, i = 0; i < num; t++) if (perTri[t] === of) found[i++] = t * 3;
  return found;
}
