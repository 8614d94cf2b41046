// Where support leaves its marks on a piece as it lies: hatching where it is held, strokes where support stands on it.
import { hatchLines } from '../../geometry/hatch-lines.ts';
import { heldTriangles, type SupportColumns, supportColumns } from '../../geometry/support-columns.ts';
import { bounds, sizeOf } from '../../mesh/measure.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { invertTransform, type Transform, transformMesh, transformPositions } from '../../mesh/transform.ts';

export interface SupportScars {
  /** Lines (xyz ...) of hatching, laid space. */
  readonly held: readonly Float32Array[];
  /** An upright stroke where support stands on the piece. */
  readonly feet: readonly Float32Array[];
}

/** Lines of hatching along the longest side of a piece. */
const HATCHES = 60;
const FIGURE_HATCHES = 45;
const HATCH_NORMAL: Vec3 = [Math.SQRT1_2, Math.SQRT1_2, 0];
/** One stroke stands for the feet within a cube of this many hatches, where they cover so much of it; it is so high. */
const STROKE_HATCHES = 1.6;
const COVERED_SHARE = 0.25;
const STROKE_SHARE = 0.8;

/** Space: laid, mm. `limitDeg`: see PrintSettings.overhangLimitDeg. Cost: that of the columns, 0.3 s a million triangles. */
export function supportScars(laid: Mesh, limitDeg: number): SupportScars {
  const spacingMm = Math.max(...sizeOf(bounds(laid))) / HATCHES;
  return {
    held: hatchLines(laid, heldTriangles(laid, limitDeg), { normal: HATCH_NORMAL, spacingMm }),
    feet: strokes(supportColumns(laid, { limitDeg }), STROKE_HATCHES * spacingMm),
  };
}

/** The hatching alone, in the space of the mesh, as segments (xyz xyz) of the figure. `toLaid`: from that space to laid. */
export function scarSegments(shape: Mesh, toLaid: Transform, limitDeg: number): Float32Array {
  const laid = transformMesh(toLaid, shape);
  const spacingMm = Math.max(...sizeOf(bounds(laid))) / FIGURE_HATCHES;
  const lines = hatchLines(laid, heldTriangles(laid, limitDeg), { normal: HATCH_NORMAL, spacingMm });
  const back = invertTransform(toLaid);
  return Float32Array.from(
    lines.flatMap((line) => {
      const points = transformPositions(back, Float64Array.from(line));
      return Array.from({ length: line.length / 3 - 1 }, (_, i) => [...points.subarray(i * 3, i * 3 + 6)]).flat();
    }),
  );
}

/** One for each cube of `cellMm` in which columns that cover a good part of it stand on the piece itself: upright, as the support is. */
function strokes({ num, xMm, yMm, areaMm2, bottomMm }: SupportColumns, cellMm: number): Float32Array[] {
  const cells = new Map<string, { readonly i: number; mm2: number }>();
  for (let i = 0; i < num; i++) {
    if (bottomMm[i] === 0) continue;
    const key = `${Math.floor(xMm[i]! / cellMm)} ${Math.floor(yMm[i]! / cellMm)} ${Math.floor(bottomMm[i]! / cellMm)}`;
    const cell = cells.get(key);
    if (cell === undefined) cells.set(key, { i, mm2: areaMm2[i]! });
    else cell.mm2 += areaMm2[i]!;
  }
  return [...cells.values()]
    .filter(({ mm2 }) => mm2 > COVERED_SHARE * cellMm * cellMm)
    .map(({ i }) => {
      const [x, y, z] = [xMm[i]!, yMm[i]!, bottomMm[i]!];
      return Float32Array.of(x, y, z, x, y, z + STROKE_SHARE * cellMm);
    });
}
