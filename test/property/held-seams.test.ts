// A seam that is held cuts only the part of the helm that it is a seam of: what its plane would do elsewhere is no reason to refuse it.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import { isNearlySamePlane } from '../../src/geometry/plane.ts';
import { scaled, unit } from '../../src/geometry/three-by-three.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import type { Vec3 } from '../../src/mesh/mesh.ts';
import { raycast } from '../../src/mesh/ray.ts';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import type { AskedSeam } from '../../src/workshop/process/asked-seams.ts';
import { expectLaws, runPieces } from '../support/pieces/run-pieces.ts';

const helm = demoModel('keepers-helm', { triangles: 50_000 }, QUIET_WORK);
const bedMm: Vec3 = [220, 220, 250];

/** Through the left ear and the vane, where it would cut off the tip of the arrow, 240 mm from the place it is asked for. */
const { t } = raycast(buildBoundingTree(helm), [400, 30, 60], [-1, 0, 0])!;
const ear: Vec3 = [400 - t, 30, 60];
const tip: Vec3 = [0, -34, 300];
const along: Vec3 = [tip[0] - ear[0], tip[1] - ear[1], tip[2] - ear[2]];
// square to the way from ear to tip, and leaning as little as may be
const normal = unit([along[2], 0, -along[0]]) as [number, number, number];
const EAR: AskedSeam = {
  name: 'Ear',
  points: [{ atMm: [...ear], normal: [1, 0, 0] }],
  normal,
  within: [],
};

describe('a seam whose plane would leave a crumb far from it', () => {
  const { outcome, meshes } = runPieces(helm, { bedMm, asked: { seams: [EAR] } });
  if (!outcome.ok) throw new Error(`${outcome.code}: ${outcome.why}`);
  const record = outcome.value;
  const made = record.seams.filter(({ asked }) => asked === 0);

  it('waits for a cut that keeps it from there, and is made', () => {
    expect(made.length).toBeGreaterThan(0);
    const bounds = made.flatMap(({ within }) => within);
    expect(bounds.length).toBeGreaterThan(0);
    expectLaws(helm, { bedMm }, { record, meshes });
  });

  it('held with the cuts it ends on it stays as it is', () => {
    const [first] = made;
    const within = first!.within.map((bound) => ({
      atMm: scaled(bound.normal, bound.offsetMm) as [number, number, number],
      normal: [...bound.normal] as [number, number, number],
    }));
    const again = runPieces(helm, { bedMm, asked: { seams: [{ ...EAR, within }] } }).outcome;
    if (!again.ok) throw new Error(`${again.code}: ${again.why}`);
    const seams = again.value.seams.filter(({ asked }) => asked === 0);
    const sum = (all: readonly { readonly outerMm: number }[]): number =>
      all.reduce((mm, { outerMm }) => mm + outerMm, 0);
    expect(Math.abs(sum(seams) / sum(made) - 1)).toBeLessThan(0.05);
    for (const bound of first!.within)
      expect(again.value.seams.some(({ plane }) => isNearlySamePlane(plane, bound))).toBe(true);
  });
});
