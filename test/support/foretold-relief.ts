// What the maps of the Surface chapter foretell of layer steps, held against the judge that cuts and stacks the layers: valleys against cusps, spacings against treads.
import { expect } from 'vitest';
import { layerSteps } from '../../src/geometry/layer-steps.ts';
import { treadWidths } from '../../src/geometry/tread-widths.ts';
import { areaPercentiles } from '../../src/geometry/wall/area-percentiles.ts';
import { bounds } from '../../src/mesh/measure.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { halfAndMost, sampleRelief, steppedSolid } from './layer-relief.ts';

/** Between measured and predicted, as a share. */
const WITHIN = 0.1;
/** Places flatter than this are level. */
const LEVEL = Math.cos((2 * Math.PI) / 180);
const PLACES = 4000;
const SEED = 20261129;

/** Turned about x and set down on z = 0. */
export function laid(mesh: Mesh, deg: number): Mesh {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  const turned = transformMesh([1, 0, 0, 0, c, s, 0, -s, c, 0, 0, 0], mesh);
  return transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, -bounds(turned).minMm[2]], turned);
}

/** Half and 95 percent of the area of what is meant and not level: valleys against cusps, spacings against treads. */
export function comparedOn(mesh: Mesh, layerMm: number, isMeant: (tri: number) => boolean) {
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
