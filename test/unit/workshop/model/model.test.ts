// The Model chapter: what it refuses, what it finds, how it levels.
import { describe, expect, it } from 'vitest';
import { angleDeg, dot } from '../../../../src/geometry/three-by-three.ts';
import { bounds } from '../../../../src/mesh/measure.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../../src/mesh/mesh.ts';
import { applyTransform, transformMesh, turnVector } from '../../../../src/mesh/transform.ts';
import { computeModel, ModelLevel } from '../../../../src/workshop/model/model.ts';
import { ball, box, insideOut, ring, together } from '../../../support/section-shapes.ts';
import { standInHelm } from '../../../support/stand-in-helm.ts';
import { testWork } from '../../../support/turned-models.ts';

async function model(mesh: Mesh, level: ModelLevel = {}) {
  const work = await testWork(1);
  const outcome = computeModel({ mesh: work.meshes.put(mesh), level }, work);
  return { outcome, work };
}

async function record(mesh: Mesh, level: ModelLevel = {}) {
  const { outcome, work } = await model(mesh, level);
  if (!outcome.ok) throw new Error(outcome.why);
  return { ...outcome, mesh: work.meshes.get(outcome.value.mesh) };
}

const withoutTriangles = (mesh: Mesh, num: number): Mesh => meshOf(mesh.positions, mesh.triangles.slice(num * 3));

describe('what the chapter refuses', () => {
  it('an open surface, with the number, length and place of the opening', async () => {
    const { outcome } = await model(withoutTriangles(box([0, 0, 0], [10, 20, 30]), 1));
    expect(outcome.ok).toBe(false);
    if (outcome.ok) return;
    expect(outcome.code).toBe('MESH_OPEN');
    expect(outcome.why).toMatch(/3 open edges, [\d.]+ mm in all, in 1 openings/);
    expect(outcome.where?.space).toBe('file');
    expect(outcome.where?.atMm).toHaveLength(3);
  });

  it('several shells, with their number and sizes', async () => {
    const { outcome } = await model(
      together(box([0, 0, 0], [100, 100, 100]), ball(5, 16), box([300, 0, 0], [310, 10, 10])),
    );
    expect(outcome).toMatchObject({ ok: false, code: 'MESH_MANY_SHELLS' });
    if (!outcome.ok) expect(outcome.why).toContain('3 separate surfaces');
  });

  it('a face used twice', async () => {
    const cube = box([0, 0, 0], [10, 10, 10]);
    const doubled = meshOf(cube.positions, Uint32Array.from([...cube.triangles, ...cube.triangles.slice(0, 3)]));
    expect((await model(doubled)).outcome).toMatchObject({ ok: false });
  });

  it('a face turned the wrong way', async () => {
    const cube = box([0, 0, 0], [10, 10, 10]);
    const [a, b, c] = cube.triangles as unknown as [number, number, number];
    const clashing = meshOf(cube.positions, Uint32Array.from([a, c, b, ...cube.triangles.slice(3)]));
    expect((await model(clashing)).outcome).toMatchObject({ ok: false, code: 'MESH_NOT_MANIFOLD' });
  });

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
    expect(findings.map((each) => each.code)).toContain('MESH_INSIDE_OUT');
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

  it('finds a wall thinner than two contour passes', async () => {
    const { findings } = await record(
      transformMesh([0.2, 0, 0, 0, 0.2, 0, 0, 0, 0.2, 0, 0, 0], await standInHelm('slot')),
    );
    expect(findings).toContainEqual(expect.objectContaining({ code: 'WALL_THIN', limit: 0.8, unit: 'mm' }));
  });
});

describe('how the chapter sets a shell upright', () => {
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
