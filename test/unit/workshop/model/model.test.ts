// The Model chapter: what it refuses, what it finds, how it levels.
import { describe, expect, it } from 'vitest';
import { angleDeg, dot } from '../../../../src/geometry/three-by-three.ts';
import { bounds } from '../../../../src/mesh/measure.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../../src/mesh/mesh.ts';
import { applyTransform, turnVector } from '../../../../src/mesh/transform.ts';
import { computeModel } from '../../../../src/workshop/model/model.ts';
import { ModelLevel, ModelMend } from '../../../../src/workshop/model/model-settings.ts';
import { ball, box, insideOut, ring, together } from '../../../support/section-shapes.ts';
import { standInHelm } from '../../../support/stand-in-helm.ts';
import { testWork } from '../../../support/turned-models.ts';

async function model(mesh: Mesh, level: ModelLevel = {}, mend: Partial<ModelMend> = {}) {
  const work = await testWork(1);
  const outcome = computeModel({ mesh: work.meshes.put(mesh), level, mend: ModelMend.parse(mend) }, work);
  return { outcome, work };
}

async function record(mesh: Mesh, level: ModelLevel = {}, mend: Partial<ModelMend> = {}) {
  const { outcome, work } = await model(mesh, level, mend);
  if (!outcome.ok) throw new Error(outcome.why);
  return { ...outcome, mesh: work.meshes.get(outcome.value.mesh) };
}

const without = (mesh: Mesh, tris: readonly number[]): Mesh =>
  meshOf(
    mesh.positions,
    mesh.triangles.filter((_, h) => !tris.includes(Math.floor(h / 3))),
  );
/** A dome of radius 60 mm cut open at its foot, without thickness. */
const dome = (): Mesh => {
  const whole = ball(60, 32);
  const low = (h: number): boolean => whole.positions[whole.triangles[h]! * 3 + 2]! < -20;
  return without(
    whole,
    Array.from({ length: whole.triangles.length / 3 }, (_, t) => t).filter((t) => low(3 * t)),
  );
};

/** A band of 40 segments, radius 60 mm, width 30 mm, turned by half a turn on its way round. */
const twistedBand = (): Mesh => {
  const positions: number[] = [];
  const triangles: number[] = [];
  const edge = (i: number, side: number): number => (i < 40 ? 2 * i + side : side === 0 ? 1 : 0);
  for (let i = 0; i < 40; i++) {
    const round = (2 * Math.PI * i) / 40;
    for (const half of [-15, 15]) {
      const out = 60 + half * Math.cos(round / 2);
      positions.push(out * Math.cos(round), out * Math.sin(round), half * Math.sin(round / 2));
    }
    triangles.push(edge(i, 0), edge(i, 1), edge(i + 1, 0), edge(i, 1), edge(i + 1, 1), edge(i + 1, 0));
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
};

describe('what the chapter mends', () => {
  it('nothing, where nothing is wrong', async () => {
    const { value, findings } = await record(box([0, 0, 0], [100, 200, 300]));
    expect(value.mended.steps).toEqual([]);
    expect(findings.filter(({ code }) => code.startsWith('MENDED'))).toEqual([]);
  });

  it('a hole, and says how long and where', async () => {
    const { value, findings } = await record(without(ball(50, 32), [100]));
    expect(value.mended.steps).toMatchObject([{ kind: 'holes-filled', count: 1 }]);
    const said = findings.find(({ code }) => code === 'MENDED_HOLES')!;
    expect(said.say).toMatch(
      /^1 hole was filled with a smooth patch; the longest was [\d.]+ mm round\. It was about \(/,
    );
    expect(said.where).toMatchObject({ space: 'file' });
  });

  it('a face used twice and a face turned the wrong way', async () => {
    const cube = box([0, 0, 0], [10, 10, 10]);
    const [a, b, c] = cube.triangles as unknown as [number, number, number];
    const doubled = meshOf(cube.positions, Uint32Array.from([...cube.triangles, a, b, c]));
    expect((await record(doubled)).value).toMatchObject({ volumeMm3: expect.closeTo(1000, 6), closed: true });
    const clashing = meshOf(cube.positions, Uint32Array.from([a, c, b, ...cube.triangles.slice(3)]));
    const { value } = await record(clashing);
    expect(value.mended.steps).toMatchObject([{ kind: 'triangles-turned', count: 1 }]);
    expect(value.volumeMm3).toBeCloseTo(1000, 6);
  });

  it('solids that overlap, to what they cover together', async () => {
    const { value } = await record(together(box([0, 0, 0], [100, 100, 100]), box([50, 50, 50], [150, 150, 150])));
    expect(value.volumeMm3).toBeCloseTo(1_875_000, -2);
    expect(value.bodies).toBe(1);
  });

  it('not that solids stand apart, which it says', async () => {
    const { value, findings } = await record(
      together(box([0, 0, 0], [100, 100, 100]), box([300, 0, 0], [310, 10, 10])),
    );
    expect(value.bodies).toBe(2);
    expect(findings).toContainEqual(expect.objectContaining({ code: 'MODEL_BODIES', measured: 2, limit: 1 }));
  });
});

describe('what the chapter asks about', () => {
  it('a sheet with a large opening, with its length and place', async () => {
    const { outcome } = await model(dome());
    expect(outcome).toMatchObject({ ok: false, code: 'MESH_SHEET', where: { space: 'file' } });
    if (!outcome.ok) expect(outcome.why).toMatch(/1 large opening: 3\d\d mm round about/);
  });

  it('gives the sheet a wall when told to', async () => {
    const { value } = await record(dome(), {}, { openings: 'wall', sheetWallMm: 4 });
    expect(value.wallMm.p50).toBeCloseTo(4, 1);
    expect(value.mended.deviation!.maxMm).toBeLessThan(0.5);
    expect(value.closed).toBe(true);
  });

  it('refuses a wall for a sheet that has no room for it, with both measures', async () => {
    const { outcome } = await model(dome(), {}, { openings: 'wall', sheetWallMm: 35 });
    expect(outcome).toMatchObject({ ok: false, code: 'MESH_SHEET' });
    if (!outcome.ok)
      expect(outcome.why).toBe(
        'The sheet is 120 mm at its largest, which leaves no room for a wall of 35 mm; it takes 140 mm.',
      );
  });

  it('refuses a wall for a band with a twist', async () => {
    const { outcome } = await model(twistedBand(), {}, { openings: 'wall' });
    expect(outcome).toMatchObject({ ok: false, code: 'MESH_UNSOUND' });
    if (!outcome.ok) expect(outcome.why).toContain('one side only');
  });

  it('closes the opening when told to', async () => {
    const { value } = await record(dome(), {}, { openings: 'close' });
    expect(value.mended.steps).toMatchObject([{ kind: 'holes-filled', count: 1 }]);
    expect(value.volumeMm3).toBeGreaterThan(0.6 * ((4 / 3) * Math.PI * 60 ** 3));
  });

  it('rebuilds the surface when told to, and says how far it lies from the one read', async () => {
    const { value, findings } = await record(ball(50, 32), {}, { rebuild: true, rebuildCells: 60 });
    expect(value.mended.cellMm).toBeCloseTo(100 / 60, 3);
    expect(value.mended.deviation!.maxMm).toBeLessThan(0.3);
    expect(findings.map(({ code }) => code)).toContain('MENDED_REBUILT');
  });
});

describe('what the chapter refuses', () => {
  it.each([
    ['no triangles', meshOf(new Float64Array(0), new Uint32Array(0))],
    ['no area', meshOf(new Float64Array(9), Uint32Array.of(0, 1, 2))],
  ])('a model with %s', async (_what, mesh) => {
    expect((await model(mesh)).outcome).toMatchObject({ ok: false, code: 'MESH_EMPTY' });
  });

  it('up and front on one line', async () => {
    const { outcome } = await model(box([0, 0, 0], [10, 20, 30]), { up: [0, 0, 1], front: [0, 0, -1] });
    expect(outcome).toMatchObject({ ok: false, code: 'LEVEL_CONTRADICTS' });
  });
});

describe('what the chapter measures', () => {
  it('turns an inside-out shell round and says so', async () => {
    const { value, findings, mesh } = await record(insideOut(box([0, 0, 0], [10, 20, 30])));
    expect(findings.map((each) => each.code)).toContain('MENDED_INSIDE_OUT');
    expect(value.volumeMm3).toBeCloseTo(6000, 6);
    expect(value.areaMm2).toBeCloseTo(2200, 6);
    expect(mesh.triangles).toHaveLength(36);
  });

  it('counts the handle of a ring', async () => {
    expect((await record(ring(60, 15, 48, 24))).value.genus).toBe(1);
  });

  it('knows the wall of a double dome and its neck and face', async () => {
    const { value, findings } = await record(await standInHelm('slot'));
    expect(value.wallMm.p50).toBeCloseTo(3, 1);
    expect(value.openings.map((each) => each.name)).toEqual(['neck', 'front']);
    expect(value.symmetry?.confidence).toBe('sure');
    expect(findings.map((each) => each.code)).not.toContain('UP_UNSURE');
  });

  it('names both eye openings', async () => {
    const { value } = await record(await standInHelm('two eyes'));
    expect(value.openings.filter((each) => each.name === 'front')).toHaveLength(2);
  });
});

describe('how the chapter sets a shell upright', () => {
  it('takes three points as level, on the side that was found', async () => {
    const helm = await standInHelm('slot');
    const tipped: NonNullable<ModelLevel['levelPoints']> = [
      [0, 0, 0],
      [100, 0, 10],
      [0, 100, 0],
    ];
    for (const levelPoints of [tipped, [tipped[2], tipped[1], tipped[0]] as typeof tipped]) {
      const { value } = await record(helm, { levelPoints });
      expect(value.up.confidence).toBe('given');
      const heights = levelPoints.map((p) => applyTransform(value.fromFile, p)[2]);
      expect(Math.max(...heights) - Math.min(...heights)).toBeLessThan(1e-9);
      expect(turnVector(value.fromFile, [0, 0, 1])[2]).toBeGreaterThan(0.9);
    }
  });

  it('refuses three points on one line', async () => {
    const { outcome } = await model(await standInHelm('slot'), {
      levelPoints: [
        [0, 0, 0],
        [1, 1, 1],
        [3, 3, 3],
      ],
    });
    expect(outcome).toMatchObject({ ok: false, code: 'LEVEL_CONTRADICTS' });
  });

  it('names other ways that could be up', async () => {
    const { value } = await record(box([0, 0, 0], [10, 20, 30]));
    expect(value.up.others.length).toBeGreaterThan(2);
    for (const way of value.up.others) expect(Math.hypot(...way)).toBeCloseTo(1, 9);
  });

  it('puts the foot on z = 0, the front to -y, the mirror plane on x = 0, the depth about y = 0', async () => {
    const { value, mesh } = await record(await standInHelm('pod and vents'));
    const box = bounds(mesh);
    expect(value.up.confidence).toBe('sure');
    expect(box.minMm[2]).toBeCloseTo(0, 9);
    expect(box.minMm[1] + box.maxMm[1]).toBeCloseTo(0, 9);
    const front = value.openings.find((each) => each.name === 'front')!;
    expect(angleDeg(front.outward, [0, -1, 0])).toBeLessThan(20);
    const { plane } = value.symmetry!;
    expect(angleDeg(plane.normal, [1, 0, 0])).toBeLessThan(0.1);
    expect(Math.abs(plane.offsetMm)).toBeLessThan(0.1);
    // the pod stands at +x of the file, which looks to +y: that is the wearer's right
    expect(turnVector(value.fromFile, [1, 0, 0])[0]).toBeCloseTo(-1, 3);
  });

  it('keeps handedness and lengths', async () => {
    const { value } = await record(await standInHelm('slot'));
    const [x, y, z] = (
      [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ] as const
    ).map((axis) => turnVector(value.fromFile, axis)) as [Vec3, Vec3, Vec3];
    const across: Vec3 = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
    expect(dot(across, z)).toBeCloseTo(1, 12);
  });

  it('takes the directions that are given, exactly', async () => {
    const { value } = await record(box([0, 0, 0], [10, 20, 30]), { up: [0, 1, 0], front: [1, 0, 0] });
    expect(value.up.confidence).toBe('given');
    expect(value.front.confidence).toBe('given');
    expect(turnVector(value.fromFile, [0, 1, 0])[2]).toBeCloseTo(1, 12);
    expect(turnVector(value.fromFile, [1, 0, 0])[1]).toBeCloseTo(-1, 12);
    expect(value.sizeMm.map((v) => Math.round(v))).toEqual([30, 10, 20]);
  });

  it('tips forward, to its left and on its foot by the extra turns', async () => {
    const straight = await record(box([0, 0, 0], [10, 20, 30]), { up: [0, 0, 1], front: [0, -1, 0] });
    const top: Vec3 = [5, 10, 30];
    const moved = async (turnDeg: [number, number, number]): Promise<Vec3> => {
      const turned = await record(box([0, 0, 0], [10, 20, 30]), { up: [0, 0, 1], front: [0, -1, 0], turnDeg });
      const middle = applyTransform(turned.value.fromFile, [5, 10, 15]);
      const at = applyTransform(turned.value.fromFile, top);
      return [at[0] - middle[0], at[1] - middle[1], at[2] - middle[2]];
    };
    expect(straight.value.sizeMm.map((v) => Math.round(v))).toEqual([10, 20, 30]);
    expect((await moved([10, 0, 0]))[1]).toBeLessThan(-2);
    expect((await moved([0, 10, 0]))[0]).toBeGreaterThan(2);
    expect((await moved([0, 0, 10]))[2]).toBeCloseTo(15, 9);
  });

  it('only guesses for a solid, and says so', async () => {
    const { value, findings } = await record(box([0, 0, 0], [10, 20, 30]));
    expect(value.up.confidence).toBe('unsure');
    expect(value.openings).toHaveLength(0);
    expect(findings.map((each) => each.code)).toEqual(expect.arrayContaining(['UP_UNSURE', 'FRONT_UNSURE']));
  });

  it('gives the same record twice', async () => {
    const helm = await standInHelm('slot');
    expect((await record(helm)).value).toEqual((await record(helm)).value);
  });

  it('checks directions and turns', () => {
    expect(ModelLevel.safeParse({ up: [0, 0, 0] }).success).toBe(false);
    expect(ModelLevel.safeParse({ turnDeg: [0, 200, 0] }).success).toBe(false);
    expect(ModelLevel.safeParse({}).success).toBe(true);
  });
});
