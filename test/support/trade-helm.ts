// A full helm as the trade prints it: whole, or cut from ear to ear into a face and a back.
import { splitByPlane } from '../../src/geometry/plane-split.ts';
import { bounds } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { testKernel } from './kernel.ts';

/** Common practice, no source. */
export const TRADE_PRINT = PrintSettings.parse({
  layerMm: 0.3,
  firstLayerMm: 0.3,
  contourPasses: 3,
  infillPercent: 10,
  overhangLimitDeg: 65,
});

/** The smallest corner of its bounds at 0, 0, 0. */
export function standing(mesh: Mesh): Mesh {
  const low = bounds(mesh).minMm;
  return meshOf(
    mesh.positions.map((v, i) => v - low[i % 3]!),
    mesh.triangles,
  );
}

/** Of an upright helm that faces +y (file space of the demo), cut upright across its middle; each half lies on its cut. */
export async function halvesOnTheirCut(mesh: Mesh): Promise<{ readonly face: Mesh; readonly back: Mesh }> {
  const { triangulate } = await testKernel();
  const { minMm, maxMm } = bounds(mesh);
  const middle = { normal: [0, 1, 0] as const, offsetMm: (minMm[1] + maxMm[1]) / 2 };
  const made = splitByPlane(mesh, middle, { triangulate });
  if (!made.ok) throw new Error(made.why);
  // y becomes up for the face, down for the back
  return {
    face: standing(transformMesh([1, 0, 0, 0, 0, 1, 0, -1, 0, 0, 0, 0], made.value.above.mesh)),
    back: standing(transformMesh([1, 0, 0, 0, 0, -1, 0, 1, 0, 0, 0, 0], made.value.below.mesh)),
  };
}
