// Layers as they are laid, cut and stacked by a judge of its own, against the maps that the Surface chapter predicts: valleys, treads, on balls and on the demo's helm.
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { layerSteps } from '../../src/geometry/layer-steps.ts';
import { type MeshPart, splitByPlane } from '../../src/geometry/plane-split.ts';
import { treadWidths } from '../../src/geometry/tread-widths.ts';
import { areaPercentiles } from '../../src/geometry/wall/area-percentiles.ts';
import { icoSphere } from '../../src/mesh/builders.ts';
import { bounds } from '../../src/mesh/measure.ts';
import { type Mesh, numTris } from '../../src/mesh/mesh.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import { testKernel } from '../support/kernel.ts';
import { faceOf, halfAndMost, reliefAt, sampleRelief, steppedSolid } from '../support/layer-relief.ts';
import { box } from '../support/printing-shapes.ts';

/** What the issue allows between measured and predicted. */
const WITHIN = 0.1;
/** Places flatter than this are level. */
const LEVEL = Math.cos((2 * Math.PI) / 180);
const PLACES = 4000;
const SEED = 20261129;

/** Turned about x and set down on z = 0. */
function laid(mesh: Mesh, deg: number): Mesh {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  const turned = transformMesh([1, 0, 0, 0, c, s, 0, -s, c, 0, 0, 0], mesh);
  return transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, -bounds(turned).minMm[2]], turned);
}

/** Half and 95 percent of the area of what is meant and not level: valleys against cusps, spacings against treads. */
function comparedOn(mesh: Mesh, layerMm: number, isMeant: (tri: number) => boolean) {
  const { cuspMm, areaMm2 } = layerSteps(mesh, layerMm);
  const leaning = (tri: number): number => cuspMm[tri]! / layerMm;
  const isTaken = (tri: number): boolean => areaMm2[tri]! > 0 && leaning(tri) < LEVEL && isMeant(tri);
  const treads = treadWidths(mesh, { layerMm, widestMm: 30, isAsked: isTaken });
  const places = sampleRelief(mesh, steppedSolid(mesh, layerMm), { isMeant: isTaken, num: PLACES, seed: SEED });
  return (isOfClass: (leaning: number) => boolean): void => {
    const areas = Float64Array.from(areaMm2, (area, tri) => (isTaken(tri) && isOfClass(leaning(tri)) ? area : 0));
    const here = places.filter(({ tri }) => isOfClass(leaning(tri)));
    const depths = here.flatMap(({ relief }) => relief?.depthMm ?? []);
    const spacings = here.flatMap(({ relief }) => relief?.spacingMm ?? []);
    expect(depths.length / here.length).toBeGreaterThan(0.9);
    expect(spacings.length / here.length).toBeGreaterThan(0.97);
    const predicted = (perTriMm: Float32Array) => areaPercentiles({ perTriMm, areaMm2: areas }, [0.5, 0.95]);
    expectAlike('valley', predicted(cuspMm), halfAndMost(depths));
    expectAlike('spacing', predicted(treads), halfAndMost(spacings));
  };
}

function expectAlike(what: string, predicted: readonly number[], measured: readonly number[]): void {
  for (const [i, value] of predicted.entries())
    expect(Math.abs(measured[i]! / value - 1), `${what}: ${measured[i]} measured, ${value} predicted`).toBeLessThan(
      WITHIN,
    );
}

describe('the judge', () => {
  const { value } = JSON.parse(readFileSync(new URL('./surface-layer-steps.json', import.meta.url), 'utf8')) as {
    value: [number, number, number][];
  };
  it.each(value.filter(([deg]) => deg < 90))(
    'finds the published steps on a slope of %d degrees',
    (deg, cuspMm, treadMm) => {
      const mesh = laid(box(60, 60, 60), deg);
      const up = Array.from({ length: numTris(mesh) }, (_, tri) => faceOf(mesh, tri)).find(
        ({ normal }) => Math.abs(normal[2] - Math.cos((deg * Math.PI) / 180)) < 1e-9,
      )!;
      const middle = [0, 1, 2].map((k) => up.corners.reduce((sum, corner) => sum + corner[k]! / 3, 0));
      const relief = reliefAt(steppedSolid(mesh, 0.2), middle as unknown as [number, number, number], up.normal)!;
      expect(Math.abs(relief.depthMm! - cuspMm)).toBeLessThan(0.00005 + 1e-9);
      expect(Math.abs(relief.spacingMm - treadMm)).toBeLessThan(0.0005 + 1e-9);
    },
  );

  it('measures no step on an upright face, and the whole of a narrow top', () => {
    const post = steppedSolid(box(4, 4, 10), 0.2);
    expect(reliefAt(post, [2, 0.3, 5.03], [1, 0, 0])).toEqual({ depthMm: expect.closeTo(0, 9), spacingMm: 0 });
    // leaning by a hair
    const top = reliefAt(post, [0.5, 0.3, 9.99], [0.001, 0, 1])!;
    expect(top).toEqual({ depthMm: null, spacingMm: expect.closeTo(4, 9) });
  });
});

describe('on a ball of 50 mm', () => {
  const ball = laid(icoSphere(50, 5), 0);
  it.each([0.1, 0.2, 0.3])('layers of %d mm leave the valleys and treads foretold', (layerMm) => {
    comparedOn(ball, layerMm, () => true)(() => true);
  });
});

describe('on two pieces of the helm', () => {
  let isOutside: readonly boolean[];
  let pieces: Readonly<Record<'crown' | 'neck', MeshPart>>;
  beforeAll(async () => {
    const { triangulate } = await testKernel();
    const helm = demoModel('keepers-helm', { triangles: 20_000 });
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
