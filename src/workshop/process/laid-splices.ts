// Loose splices as they print: lying on their inner face, which is flat, the side that goes into the seats upwards.
import { roundToSingle } from '../../geometry/round-to-single.ts';
import { cross } from '../../geometry/three-by-three.ts';
import { bounds } from '../../mesh/measure.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';
import { type Transform, transformMesh } from '../../mesh/transform.ts';
import type { JointsRecord, Key } from './joints-record.ts';

export interface LaidSplice {
  /** "A-B 1": the seam, and which of its splices. */
  readonly name: string;
  readonly file: string;
  /** Smallest corner at 0,0,0, single precision. */
  readonly mesh: Mesh;
}

/** One for each splice; rods and magnets are bought or cut to length. Cost: that of rounding their few triangles. */
export function laidSplices(
  { joints, loose }: Pick<JointsRecord, 'joints' | 'loose'>,
  meshes: MeshStore,
): readonly LaidSplice[] {
  return joints.flatMap(({ seam, keys }) => {
    const parts = loose.filter((part) => part.seam === seam && part.mesh !== null);
    return keys.flatMap((key, i): LaidSplice[] => {
      const part = parts[i];
      if (key.kind !== 'strip' || part === undefined) return [];
      const mesh = roundToSingle(ontoBed(transformMesh(lying(key), meshes.get(part.mesh!)))).mesh;
      return [{ name: `splice ${seam} ${i + 1}`, file: `splices/${seam}-${i + 1}.stl`, mesh }];
    });
  });
}

/** x along the seam, z away from the inside. */
function lying({ along, inward }: Key): Transform {
  const up = [-inward[0], -inward[1], -inward[2]] as const;
  const y = cross(up, along);
  return [along[0], y[0], up[0], along[1], y[1], up[1], along[2], y[2], up[2], 0, 0, 0];
}

function ontoBed(mesh: Mesh): Mesh {
  const [x, y, z] = bounds(mesh).minMm;
  return transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, -x, -y, -z], mesh);
}
