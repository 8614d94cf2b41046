// The door: one print a piece, on the better machine and the better side, with findings.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { type Mesh, numTris, type Vec3 } from '../../../../src/mesh/mesh.ts';
import { chainTransforms, IDENTITY, type Transform, transformMesh } from '../../../../src/mesh/transform.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { PLA } from '../../../../src/workshop/facts/materials.ts';
import { computePrinting, PrintingSettings } from '../../../../src/workshop/printing/printing.ts';
import type { AskedPose } from '../../../../src/workshop/process/asked-poses.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import { printingMachine } from '../../../../src/workshop/process/machine.ts';
import type { FittingPose, Piece, PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';
import { PrintSettings } from '../../../../src/workshop/process/print-settings.ts';
import { testKernel } from '../../../support/kernel.ts';
import { box, joinMeshes } from '../../../support/printing-shapes.ts';

const small = ordinaryMachine([220, 220, 250]);
const fast = { ...ordinaryMachine([300, 300, 300]), wallSpeedMmS: 120, outerWallSpeedMmS: 90 };
const settings = PrintingSettings.parse({
  print: PrintSettings.parse({}),
  machines: [small, fast].map(printingMachine),
  material: { densityGCm3: PLA.densityGCm3, filamentMm: PLA.filamentMm },
  marginMm: 5,
  poses: { asked: [] },
});

/** A table: top 40 x 40 x 4 on a leg; turned over it needs no support. */
const table = joinMeshes(box(10, 10, 20), box(40, 40, 4, 20));
const UPRIGHT = IDENTITY;
const OVER: Transform = [1, 0, 0, 0, -1, 0, 0, 0, -1, 0, 0, 24];

async function workWith(meshes: Record<string, Mesh>): Promise<ChapterWork> {
  const solid = await testKernel();
  return { ...QUIET_WORK, solid, meshes: { get: (id) => meshes[id]!, put: () => 'none' } };
}

const pose = (machine: string, toLaid: Transform, size: FittingPose['sizeMm'] = [40, 40, 24]): FittingPose => ({
  machine,
  toLaid,
  sizeMm: size,
  lies: 'level',
});

function recordOf(pieces: readonly Partial<Piece>[]): PiecesRecord {
  const plain: Piece = {
    id: 'A',
    name: 'crown',
    mesh: 'table',
    sourceTri: new Int32Array(numTris(table)),
    triangles: numTris(table),
    closed: true,
    volumeMm3: 0,
    areaMm2: 0,
    sizeMm: [40, 40, 24],
    poses: [pose(small.id, UPRIGHT)],
    mark: { atMm: [0, 0, 0], normal: [0, 0, 1] },
    asked: null,
  };
  return {
    kind: 'pieces',
    version: 3,
    pieces: pieces.map((piece) => ({ ...plain, ...piece })),
    seams: [],
    proposal: null,
    proposals: [],
    seen: Uint8Array.of(255),
    search: { planesTried: 0, divisions: 1, cost: 0 },
  };
}

const inputsOf = (pieces: readonly Partial<Piece>[]): Parameters<typeof computePrinting>[0] => {
  const record = recordOf(pieces);
  return { wearer: { scale: 1 }, pieces: record, joints: { pieces: record.pieces, joints: [], loose: [] } };
};

/** up: asked of every piece. */
async function printed(pieces: readonly Partial<Piece>[], meshes: Record<string, Mesh> = { table }, up?: Vec3) {
  const asked: AskedPose[] = up === undefined ? [] : [{ name: 'A', atMm: [0, 0, 0], up: [up[0], up[1], up[2]] }];
  const outcome = computePrinting(inputsOf(pieces), { ...settings, poses: { asked } }, await workWith(meshes));
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome;
}

const UP: Vec3 = [0, 0, 1];

describe('choice of pose', () => {
  it('turns the table over, whichever pose comes first', async () => {
    for (const poses of [
      [pose(small.id, UPRIGHT), pose(small.id, OVER)],
      [pose(small.id, OVER), pose(small.id, UPRIGHT)],
    ]) {
      const { value } = await printed([{ poses }]);
      const print = value.prints[0]!;
      expect(print.supportG).toBe(0);
      expect(chainTransforms(OVER, print.toModel)).toEqual(IDENTITY.map((v) => expect.closeTo(v, 12)));
    }
  });

  it('takes the quicker of two machines', async () => {
    const { value } = await printed([{ poses: [pose(small.id, OVER), pose(fast.id, OVER)] }]);
    expect(value.prints[0]!.machine).toBe(fast.id);
  });

  it('knows the other machine that takes it lying so, and how it is turned there', async () => {
    // a quarter turn about the vertical more
    const across: Transform = [0, 1, 0, 1, 0, 0, 0, 0, -1, 0, 0, 24];
    const { value } = await printed([{ poses: [pose(small.id, across), pose(fast.id, OVER)] }]);
    const print = value.prints[0]!;
    expect(print.on.map(({ machine }) => machine)).toEqual([fast.id, small.id]);
    for (const { machine, turnDeg, layerS } of print.on) {
      expect(turnDeg).toBeCloseTo(machine === fast.id ? 0 : 90, 9);
      expect(layerS.length).toBe(print.layers);
    }
    const { startUpS, shortestLayerS } = fast;
    const alone = print.on[0]!.layerS.reduce((sum, busy) => sum + Math.max(busy, shortestLayerS), startUpS);
    expect(alone).toBeCloseTo(print.printS, 6);
  });

  it('lays back where it was: laid to model', async () => {
    const { value } = await printed([{ poses: [pose(small.id, OVER)] }]);
    const back = transformMesh(value.prints[0]!.toModel, transformMesh(OVER, table));
    for (const [i, v] of back.positions.entries()) expect(v).toBeCloseTo(table.positions[i]!, 9);
  });
});

describe('poses asked for', () => {
  it('lies as asked, tells so, and offers others that are clearly different', async () => {
    const print = (await printed([{}], { table }, UP)).value.prints[0]!;
    expect(print.asked).toBe(0);
    expect(print.poses[0]!.up[2]).toBeCloseTo(1, 6);
    expect(print.poses.length).toBe(3);
    for (const [i, one] of print.poses.entries())
      for (const other of print.poses.slice(i + 1))
        expect(one.up[0] * other.up[0] + one.up[1] * other.up[1] + one.up[2] * other.up[2]).toBeLessThan(0.966);
  });

  it('says when a place lies on no piece', async () => {
    const asked: AskedPose[] = [{ name: 'A', atMm: [0, 0, 400], up: [0, 0, 1] }];
    const outcome = computePrinting(inputsOf([{}]), { ...settings, poses: { asked } }, await workWith({ table }));
    expect(outcome.ok && outcome.value.prints[0]!.asked).toBe(null);
    expect(outcome.ok && outcome.findings.map(({ code }) => code)).toContain('POSE_ASTRAY');
  });

  it('says when no machine has the room, and by how much', async () => {
    const mast = box(8, 9, 280);
    const lying: Transform = [0, 0, 1, 0, 1, 0, -1, 0, 0, 280, 0, 0];
    const { value, findings } = await printed(
      [{ mesh: 'mast', poses: [pose(fast.id, lying, [280, 9, 8])] }],
      { mast },
      [0, 0, 1],
    );
    expect(value.prints[0]!.asked).toBe(0);
    expect(findings.map(({ code }) => code)).not.toContain('POSE_UNMET');
    const long = box(8, 9, 297);
    const unmet = await printed([{ mesh: 'long', poses: [pose(fast.id, lying, [297, 9, 8])] }], { long }, [0, 0, 1]);
    const said = unmet.findings.find(({ code }) => code === 'POSE_UNMET')!;
    expect(said.measured).toBeCloseTo(2, 3);
    expect(said.unit).toBe('mm');
  });
});

describe('findings', () => {
  it('says nothing of a sound print', async () => {
    expect((await printed([{ poses: [pose(small.id, OVER)] }])).findings).toEqual([]);
  });

  it('says that a table on its leg needs much support', async () => {
    const { value, findings } = await printed([{}], { table }, UP);
    const said = findings.find((f) => f.code === 'SUPPORT_MUCH')!;
    expect(said.where.path).toBe('printing.A');
    // columns under the overhang: 1500 mm2 x 20 mm x 12 percent; facets are cut to parts of 2 mm across the leg's edge
    expect(value.prints[0]!.supportG / (1500 * 20 * 0.12 * 0.00124)).toBeCloseTo(1, 2);
    expect(said.limit).toBe(30);
  });

  it('says that a mast is tall and stands on little', async () => {
    const mast = box(8, 9, 60);
    const { findings } = await printed([{ mesh: 'mast', poses: [pose(small.id, UPRIGHT, [8, 9, 60])] }], { mast }, UP);
    expect(findings.map((f) => f.code).sort()).toEqual(['FOOT_SMALL', 'TALL_SLENDER']);
    expect(findings.find((f) => f.code === 'TALL_SLENDER')!.measured).toBe(7.5);
    const foot = findings.find((f) => f.code === 'FOOT_SMALL')!;
    expect(foot.measured).toBeCloseTo(72, 9);
    expect(foot.where).toMatchObject({ space: 'worn', piece: 'A' });
    expect(foot.where.atMm![2]).toBe(0);
  });

  it('says that a print runs for more than 40 hours', async () => {
    const block = box(180, 180, 230);
    const { value, findings } = await printed([{ mesh: 'block', poses: [pose(small.id, UPRIGHT, [180, 180, 230])] }], {
      block,
    });
    expect(value.prints[0]!.printS).toBeGreaterThan(40 * 3600);
    expect(findings.map((f) => f.code)).toEqual(['PRINT_LONG']);
  });

  it('says that a layer is too high for a nozzle', async () => {
    const odd = { ...settings, print: { ...settings.print, layerMm: 0.35 } };
    const outcome = computePrinting(inputsOf([{ poses: [pose(small.id, OVER)] }]), odd, await workWith({ table }));
    expect(outcome.ok && outcome.findings.map((f) => f.code)).toEqual(['LAYER_ODD', 'LAYER_ODD']);
  });
});

describe('totals and refusal', () => {
  it('sums the prints', async () => {
    const { value } = await printed([{ id: 'A' }, { id: 'B', poses: [pose(small.id, OVER)] }]);
    expect(value.prints.map((p) => p.piece)).toEqual(['A', 'B']);
    expect(value.totals.printS).toBe(value.prints[0]!.printS + value.prints[1]!.printS);
    expect(value.totals.filamentG).toBe(value.prints[0]!.filamentG + value.prints[1]!.filamentG);
    // metres of filament carry the grams of piece and support
    const grams = value.totals.filamentM * 1000 * (Math.PI / 4) * 1.75 ** 2 * 0.00124;
    expect(grams).toBeCloseTo(value.totals.filamentG + value.totals.supportG, 9);
  });

  it('refuses a piece that is open', async () => {
    const outcome = computePrinting(inputsOf([{ closed: false }]), settings, await workWith({ table }));
    expect(outcome.ok).toBe(false);
    if (!outcome.ok) expect(outcome.code).toBe('MESH_OPEN');
  });
});
