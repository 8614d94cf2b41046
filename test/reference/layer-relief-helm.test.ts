// Layers of the demo's helm, half of it in two pieces, cut and stacked by a judge of its own, against the maps that the Surface chapter predicts: valleys and treads.
import { beforeAll, describe, it } from 'vitest';
import { type MeshPart, splitByPlane } from '../../src/geometry/plane-split.ts';
import { type Mesh, numTris } from '../../src/mesh/mesh.ts';
import { comparedOn, laid } from '../support/foretold-relief.ts';
import { halfHelm } from '../support/half-helm.ts';
import { testKernel } from '../support/kernel.ts';
import { faceOf } from '../support/layer-relief.ts';

describe('on two pieces of half of the helm', () => {
  let isOutside: readonly boolean[];
  let pieces: Readonly<Record<'crown' | 'neck', MeshPart>>;
  beforeAll(async () => {
    const { triangulate } = await testKernel();
    const helm = halfHelm(10_000);
    const cut = splitByPlane(helm, { normal: [0, 0, 1], offsetMm: 160 }, { triangulate, slackMm: 0.5 });
    if (!cut.ok) throw new Error(cut.why);
    isOutside = Array.from({ length: numTris(helm) }, (_, tri) => looksAway(helm, tri));
    pieces = { crown: cut.value.above, neck: cut.value.below };
  });
  it.each([
    ['crown', 0, 0.2],
    ['crown', 0, 0.3],
    ['crown', 180, 0.2],
    ['neck', 0, 0.2],
    ['neck', 180, 0.3],
    ['neck', 60, 0.1],
  ] as const)('%s, laid at %d degrees, layers of %d mm', (name, deg, layerMm) => {
    const { mesh, sourceTri } = pieces[name];
    const lies = laid(mesh, deg);
    const outside = (tri: number): boolean => sourceTri[tri]! >= 0 && isOutside[sourceTri[tri]!]!;
    const expectForetold = comparedOn(lies, layerMm, outside);
    expectForetold(() => true);
    expectForetold((leaning) => leaning > Math.SQRT1_2);
    expectForetold((leaning) => leaning <= Math.SQRT1_2);
  });
});

/** From the middle of the head, or the axis below it. */
function looksAway(mesh: Mesh, tri: number): boolean {
  const { corners, normal } = faceOf(mesh, tri);
  const [x, y, z] = [0, 1, 2].map((k) => corners.reduce((sum, corner) => sum + corner[k]! / 3, 0)) as [
    number,
    number,
    number,
  ];
  return normal[0] * x + normal[1] * y + normal[2] * (z - Math.min(z, 140)) > 0;
}
