// The evaluator of seams itself, on shapes whose exposure, lengths and pieces are known from geometry alone.
import Module, { type Manifold, type ManifoldToplevel } from 'manifold-3d';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { quickHelm } from '../support/quick-helm.ts';
import { creasesOf } from '../support/seam-evaluator/crease.ts';
import { EVEN_VIEWERS, evenChance, openAt } from '../support/seam-evaluator/exposure.ts';
import { fitsBed, roomOf, type Size } from '../support/seam-evaluator/fit.ts';
import { cutByPlanes, type PlaneTree } from '../support/seam-evaluator/plane-division.ts';
import { pricedModel } from '../support/seam-evaluator/priced-model.ts';
import { halfSphere } from '../support/seam-evaluator/published-boxes.ts';
import { publishedDivision } from '../support/seam-evaluator/published-search.ts';
import { rayTree } from '../support/seam-evaluator/ray-tree.ts';
import { refinedModel } from '../support/seam-evaluator/refined-model.ts';
import { badEdgesOf, selfCrossings, standsOutMm, volumeOff } from '../support/seam-evaluator/sound-pieces.ts';
import { bestGrids } from '../support/seam-evaluator/uniform-grid.ts';
import { cornersOf, writtenSeams } from '../support/seam-evaluator/written-seams.ts';
import { standInHelm } from '../support/stand-in-helm.ts';

let kernel: ManifoldToplevel;
beforeAll(async () => {
  kernel = await Module();
  kernel.setup();
});

const BED: Size = [220, 220, 250];
const ROOM = roomOf(BED);
const even = (mesh: Mesh) => pricedModel(mesh, { prior: EVEN_VIEWERS });

describe('exposure of the evaluator', () => {
  it('is 1 on a convex body, all of it outside, and so is the price', () => {
    const model = even(meshFrom(kernel.Manifold.sphere(60, 48)));
    expect(Math.min(...model.exposure.open)).toBe(1);
    expect(model.exposure.outside.every((outside) => outside === 1)).toBe(true);
    for (const price of model.price) expect(price).toBeCloseTo(1, 9);
  });

  it.each([
    [10, 10],
    [10, 20],
    [20, 10],
  ])('is r2 / (r2 + h2) at the bottom of a hole, r %d, h %d', (radius, depth) => {
    const block = kernel.Manifold.cube([100, 100, 60], true).subtract(
      kernel.Manifold.cylinder(depth + 1, radius, radius, 256).translate([0, 0, 30 - depth]),
    );
    const tree = rayTree(meshFrom(block));
    const expected = radius ** 2 / (radius ** 2 + depth ** 2);
    expectShare(tree, { at: [0, 0, 30 - depth + 0.001], expected });
  });

  it('is a half on a floor beside a high wall', () => {
    const wall = kernel.Manifold.cube([2000, 10, 2000], true).translate([0, 5, 1000]);
    const tree = rayTree(meshFrom(kernel.Manifold.cube([2000, 2000, 10], true).translate([0, 0, -5]).add(wall)));
    expectShare(tree, { at: [0, -0.01, 0.001], expected: 0.5 });
  });

  it('tells the inside of an open shell from its outside, though the inside sees out', async () => {
    const model = pricedModel(await standInHelm('slot'));
    let [wrong, all] = [0, 0];
    for (const [t, area] of model.areas.entries()) {
      const [x, y, z] = model.middles.subarray(3 * t, 3 * t + 3) as unknown as [number, number, number];
      // above the face and the neck it is an ellipsoid: outwards is away from the middle
      if (z < 60) continue;
      const n = model.normals.subarray(3 * t, 3 * t + 3);
      const isOutside = x * n[0]! + y * n[1]! + z * n[2]! > 0;
      all += area;
      if (isOutside !== (model.exposure.outside[t] === 1)) wrong += area;
    }
    expect(all).toBeGreaterThan(50_000);
    expect(wrong / all).toBeLessThan(0.002);
  });

  function expectShare(
    tree: ReturnType<typeof rayTree>,
    about: { at: [number, number, number]; expected: number },
  ): void {
    const rays = 20_000;
    const { open } = openAt(tree, {
      at: about.at,
      normal: [0, 0, 1],
      rays,
      prior: EVEN_VIEWERS,
      chance: evenChance(7),
    });
    const error = Math.sqrt((about.expected * (1 - about.expected)) / rays);
    expect(Math.abs(open - about.expected)).toBeLessThan(3 * error);
  }
});

describe('creases of the evaluator', () => {
  it('lie in concave edges only', () => {
    const step = kernel.Manifold.cube([80, 80, 40], true).add(
      kernel.Manifold.cube([40, 80, 40], true).translate([0, 0, 30]),
    );
    const model = refinedModel(meshFrom(step), 4);
    const creases = creasesOf(model);
    let [inFoot, atTop] = [0, 0];
    for (const [t, crease] of creases.entries()) {
      const [x, y, z] = model.middles.subarray(3 * t, 3 * t + 3) as unknown as [number, number, number];
      if (Math.abs(y) > 36) continue;
      if (Math.abs(Math.abs(x) - 20) < 1 && Math.abs(z - 20) < 1) {
        inFoot++;
        expect(crease).toBe(1);
      }
      if (z > 30) {
        atTop++;
        expect(crease).toBe(0);
      }
    }
    expect(inFoot).toBeGreaterThan(20);
    expect(atTop).toBeGreaterThan(100);
  });
});

describe('cuts of the evaluator', () => {
  it('are as long as the circle a plane draws on a ball', () => {
    const model = even(meshFrom(kernel.Manifold.sphere(100, 128)));
    const cut = cutByPlanes(model, plane([0.6, 0, 0.8], 30), ROOM);
    expect(cut.pieces.length).toBe(2);
    expect(cut.seamMm / (2 * Math.PI * Math.hypot(100, 0) * Math.sqrt(1 - 0.09))).toBeCloseTo(1, 3);
    expect(cut.costMm / cut.seamMm).toBeCloseTo(1, 9);
  });

  it('are as long as the ellipse a slanting plane draws on a cylinder', () => {
    const model = even(meshFrom(kernel.Manifold.cylinder(160, 50, 50, 64, true)));
    const cut = cutByPlanes(model, plane([Math.SQRT1_2, 0, Math.SQRT1_2], 0), ROOM);
    // Ramanujan 1914, far better here than the chords
    const [a, b] = [50 * Math.SQRT2, 50];
    const h = ((a - b) / (a + b)) ** 2;
    const ellipse = Math.PI * (a + b) * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h)));
    // 64 chords are shorter by 4e-4
    expect(cut.seamMm / ellipse).toBeCloseTo(1, 3);
  });

  it('count connected pieces: two legs are two, a slab of a thick ring is one', () => {
    const legs = kernel.Manifold.cube([150, 30, 30], true)
      .add(kernel.Manifold.cube([30, 30, 80], true).translate([-60, 0, -50]))
      .add(kernel.Manifold.cube([30, 30, 80], true).translate([60, 0, -50]));
    expect(cutByPlanes(even(meshFrom(legs)), plane([0, 0, 1], -20), ROOM).pieces.length).toBe(3);
    const ring = kernel.Manifold.cylinder(60, 80, 80, 96, true).subtract(
      kernel.Manifold.cylinder(80, 60, 60, 96, true),
    );
    const slabs = { ...plane([0, 0, 1], -10), above: plane([0, 0, 1], 10) };
    expect(cutByPlanes(even(meshFrom(ring)), slabs, ROOM).pieces.length).toBe(3);
  });

  it('cost as much as the pieces that were really cut by them, within 2 percent', () => {
    const mesh = quickHelm();
    const model = pricedModel(mesh);
    const tree: PlaneTree = {
      ...plane([0, 0.2, 0.98], 12),
      below: plane([0, 1, 0], -35),
      above: plane([0.8, 0.6, 0], 3),
    };
    const planned = cutByPlanes(model, tree, ROOM);
    const pieces = splitBy(solidOf(mesh), tree);
    const written = writtenSeams(
      model,
      pieces.map((piece) => cornersOf(meshFrom(piece))),
    );
    expect(written.pieces).toBe(planned.pieces.length);
    expect(Math.abs(written.seamMm / planned.seamMm - 1)).toBeLessThan(0.02);
    expect(Math.abs(written.costMm / planned.costMm - 1)).toBeLessThan(0.02);
    // laid in single precision and posed again, as a kit has it
    const rounded = pieces.map((piece) => cornersOf(meshFrom(piece)).map((v) => Math.fround(v + 1000) - 1000));
    expect(Math.abs(writtenSeams(model, rounded).costMm / planned.costMm - 1)).toBeLessThan(0.02);
  });
});

describe('soundness as the evaluator sees it', () => {
  const box = (at: [number, number, number]) =>
    cornersOf(meshFrom(kernel.Manifold.cube([10, 10, 10], true).rotate([10, 20, 30]).translate(at)));

  it('finds bodies that go through one another, and none in a plain one', () => {
    expect(selfCrossings(box([0, 0, 0]))).toBe(0);
    expect(selfCrossings(Float64Array.from([...box([0, 0, 0]), ...box([4, 3, 2])]))).toBeGreaterThan(3);
    expect(selfCrossings(Float64Array.from([...box([0, 0, 0]), ...box([30, 0, 0])]))).toBe(0);
  });

  it('finds a missing triangle, a lost volume and a piece too large', () => {
    const whole = box([0, 0, 0]);
    expect(badEdgesOf([whole])).toBe(0);
    expect(badEdgesOf([whole.slice(9)])).toBe(3);
    expect(volumeOff([whole, box([50, 0, 0])], 2000)).toBeLessThan(1e-6);
    expect(volumeOff([whole], 2000)).toBeCloseTo(0.5, 6);
    const laid = cornersOf(meshFrom(kernel.Manifold.cube([10, 20, 30])));
    expect(standsOutMm(laid, [10, 20, 31])).toBeCloseTo(0, 6);
    expect(standsOutMm(laid, [10, 20, 29])).toBeCloseTo(1, 6);
  });

  it('lays a bar across the bed, and not one that is longer than its diagonal', () => {
    const bar = (length: number) => meshFrom(kernel.Manifold.cube([length, 10, 10])).positions;
    expect(fitsBed(bar(280), [], ROOM)).toBe(true);
    expect(fitsBed(bar(330), [], ROOM)).toBe(false);
  });
});

describe('what divisions are compared with', () => {
  const SMALL: Size = [70, 70, 80];

  it('a grid needs no cut for a body of a cell, one for a longer, and the cut is as long as it is', () => {
    const one = bestGrids(even(meshFrom(kernel.Manifold.cube([65, 65, 65], true))), SMALL);
    expect([one.own.pieces, one.own.costMm, one.cheapest.costMm]).toEqual([1, 0, 0]);
    const two = bestGrids(even(meshFrom(kernel.Manifold.cube([100, 40, 30], true))), SMALL);
    expect(two.own.pieces).toBe(2);
    expect(two.own.costMm).toBeCloseTo(140, 6);
    // as few pieces, and no cheaper: square to the bar is shortest
    expect(two.turned.costMm).toBeCloseTo(140, 6);
  });

  it('the published search looks along 129 directions, and halves a bar', () => {
    expect(halfSphere().length).toBe(129);
    const bar = even(meshFrom(kernel.Manifold.cube([300, 100, 90], true)));
    const found = publishedDivision(bar, [180, 180, 200], { estimateMm: 380 });
    expect(found.pieces.length).toBe(2);
    expect(found.costMm).toBeLessThan(420);
  });
});

function plane(normal: readonly [number, number, number], offsetMm: number): PlaneTree {
  return { normal, offsetMm, below: null, above: null };
}

function meshFrom(solid: Manifold): Mesh {
  const { vertProperties, triVerts, numProp } = solid.getMesh();
  const positions = new Float64Array((vertProperties.length / numProp) * 3);
  for (let v = 0; v * numProp < vertProperties.length; v++)
    for (let c = 0; c < 3; c++) positions[3 * v + c] = vertProperties[v * numProp + c]!;
  return meshOf(positions, Uint32Array.from(triVerts));
}

function solidOf({ positions, triangles }: Mesh): Manifold {
  return new kernel.Manifold(
    new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(positions), triVerts: triangles }),
  );
}

function splitBy(solid: Manifold, tree: PlaneTree | null): Manifold[] {
  if (tree === null) return [solid];
  const [above, below] = solid.splitByPlane([...tree.normal], tree.offsetMm);
  return [...splitBy(below, tree.below), ...splitBy(above, tree.above)];
}
