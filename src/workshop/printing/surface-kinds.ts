// What the surface of a piece is to the eye and to the joints: where support scars and terraces cost most, and on what it may lie.
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Piece, PiecesRecord } from '../process/pieces-record.ts';

/** Inside of the worn shell: nobody sees it. */
export const INSIDE = 0;
/** Outside: it shows. */
export const SHOWN = 1;
/** Mating faces and keys: scars keep a joint open. */
export const JOINT = 2;

/** One of the above for each triangle of a piece. Mating faces and what keys brought have sources below 0. Cost: O(triangles). */
export function surfaceKinds(
  { sourceTri }: Pick<Piece, 'sourceTri'>,
  { seen }: Pick<PiecesRecord, 'seen'>,
): Uint8Array {
  const kinds = new Uint8Array(sourceTri.length);
  for (let t = 0; t < kinds.length; t++) {
    const source = sourceTri[t]!;
    kinds[t] = source < 0 ? JOINT : seen[source]! > 0 ? SHOWN : INSIDE;
  }
  return kinds;
}

/** A face bowed more than this is no face to lie on, mm. */
const FLAT_MM = 0.05;

/** Outward normals of the flat mating faces of a piece. */
export function flatMatingFaces(id: string, { seams }: Pick<PiecesRecord, 'seams'>): Vec3[] {
  return seams
    .filter(({ pieces, bowMm }) => pieces.includes(id) && bowMm <= FLAT_MM)
    .map(({ pieces, plane: { normal } }): Vec3 => {
      const [x, y, z] = normal;
      return pieces[0] === id ? [x, y, z] : [-x, -y, -z];
    });
}
