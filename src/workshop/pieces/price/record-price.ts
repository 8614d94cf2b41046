// What a millimetre of seam counts on a shell that is divided already, from what its record keeps.
import type { Work } from '../../../base/work.ts';
import { concaveCreases } from '../../../geometry/concave-creases.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import type { PiecesRecord } from '../../process/pieces-record.ts';

/** Per triangle of the shell: hidden + (1 - hidden) seen (1 - crease) on the outside, 0 inside; as the search had it, but that `seen` is
 *  kept in 255 steps. Cost: O(n), that of the creases. */
export function recordPrice(shell: Mesh, { seen }: PiecesRecord, hidden: number, work: Work): Float32Array {
  const crease = concaveCreases(shell, work);
  return Float32Array.from(seen, (steps, tri) =>
    steps === 0 ? 0 : hidden + (1 - hidden) * (steps / 255) * (1 - crease[tri]!),
  );
}
