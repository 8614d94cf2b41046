// A piece as its file holds it: laid on the bed, in single precision; and a place on the bed where rounding does it no harm.
import { selfCrossings } from '../../geometry/crossings/self-crossings.ts';
import { roundToSingle, type SingleMesh } from '../../geometry/round-to-single.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { invertTransform, type Transform, transformMesh } from '../../mesh/transform.ts';

/** `toModel`: laid space to that of the mesh. Cost: O(n). */
export function writtenPiece(mesh: Mesh, toModel: Transform, sourceTri: Int32Array | null = null): SingleMesh {
  return roundToSingle(transformMesh(invertTransform(toModel), mesh), sourceTri);
}

/** From one try to the next along both axes of the bed, mm: some bits of single precision, and less than anything is measured to. */
const NUDGE_MM = 1.1e-5;
const MOST_NUDGES = 8;

/** Laid space to that of the mesh, for a piece laid by `toLaid`: where surfaces that all but touch would cross once they are rounded, the piece is moved by less than
 *  1e-4 mm until they do not; a piece that crosses itself as it is must not gain any. Where no try helps, the one with the fewest.
 *  Cost: selfCrossings, again for each try that fails. */
export function soundPlace(mesh: Mesh, toLaid: Transform): Transform {
  let own: number | null = null;
  let fewest: { readonly toModel: Transform; readonly pairs: number } | null = null;
  for (let tries = 0; tries <= MOST_NUDGES; tries++) {
    const toModel = invertTransform(toLaid.map((x, i) => (i === 9 || i === 10 ? x + tries * NUDGE_MM : x)));
    const { pairs } = selfCrossings(writtenPiece(mesh, toModel).mesh);
    if (pairs === 0) return toModel;
    own ??= selfCrossings(mesh).pairs;
    if (pairs <= own) return toModel;
    if (fewest === null || pairs < fewest.pairs) fewest = { toModel, pairs };
  }
  return fewest!.toModel;
}
