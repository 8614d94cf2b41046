// The whole chapter on a dome that is divided, and on blocks with keys in the wrong place.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { box, together } from '../../../../src/mesh/builders.ts';
import type { Mesh } from '../../../../src/mesh/mesh.ts';
import { AssemblySettings, computeAssembly } from '../../../../src/workshop/assembly/assembly.ts';
import type { AssemblyRecord } from '../../../../src/workshop/process/assembly-record.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import type { JointsRecord } from '../../../../src/workshop/process/joints-record.ts';
import type { PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';
import { testKernel } from '../../../support/kernel.ts';
import { domeMesh } from '../../../support/pieces/round-shapes.ts';
import { piecesOf } from '../../../support/pieces/run-pieces.ts';
import { plainJoints } from '../../../support/plain-joints.ts';

async function assembled(
  pieces: PiecesRecord,
  joints: JointsRecord,
  meshes: ReadonlyMap<string, Mesh>,
  settings: Partial<AssemblySettings> = {},
) {
  const work: ChapterWork = {
    ...QUIET_WORK,
    solid: await testKernel(),
    meshes: { get: (id) => meshes.get(id)!, put: () => 'none' },
  };
  const outcome = computeAssembly({ pieces, joints }, AssemblySettings.parse(settings), work);
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome;
}

/** Each step after all that it waits for. */
function expectSound({ steps, joins }: AssemblyRecord): void {
  const done = new Set<string>();
  for (const step of steps) {
    expect(step.after.filter((id) => !done.has(id))).toEqual([]);
    expect(done.has(step.id)).toBe(false);
    done.add(step.id);
    expect(step.handsOnS + step.unattendedS).toBeGreaterThan(0);
    expect(step.source).not.toBe('');
  }
  expect(steps.filter(({ id }) => id.startsWith('glue-'))).toHaveLength(joins.length);
}

describe('a dome of 240 x 280 x 220 in pieces of a small bed, without keys', () => {
  const mesh = domeMesh({ widthMm: 240, depthMm: 280, heightMm: 220, wallMm: 3, bump: 0.01, seed: 1 });
  const { record, meshes } = piecesOf(mesh, { bedMm: [180, 180, 180] });
  const answer = assembled(record, plainJoints(record), meshes);

  it('is joined piece by piece, nothing in the way', async () => {
    const { value, findings } = await answer;
    expect(value.joins).toHaveLength(record.pieces.length - 1);
    expect(value.joins.flatMap(({ meets }) => meets)).toEqual([]);
    expect(findings).toEqual([]);
    expectSound(value);
  });

  it('stays in reach from below, so that every bead can wait for the end', async () => {
    const { value } = await answer;
    const last = value.joins.at(-1)!;
    expect(last.reach.map(({ seam }) => seam).sort()).toEqual(record.seams.map(({ id }) => id).sort());
    for (const { share } of last.reach) expect(share).toBeGreaterThan(0.9);
    for (const { bead, seam } of value.seams) {
      expect(bead?.beforeJoin).toBe(null);
      const { innerMm } = record.seams.find(({ id }) => id === seam)!;
      expect(bead!.lengthMm / innerMm).toBeGreaterThan(0.9);
    }
  });
});

/** A can of three rings with a lid and a floor, 60 mm high each; the lid's opening is `neck` wide. Pieces A (lid), B, C (floor), cut level. */
function can(neck: number): { record: PiecesRecord; meshes: Map<string, Mesh> } {
  const [out, inn, half] = [120, 117, neck / 2];
  const walls = (low: number, high: number): Mesh[] => [
    box([-out, -out, low], [-inn, out, high]),
    box([inn, -out, low], [out, out, high]),
    box([-inn, -out, low], [inn, -inn, high]),
    box([-inn, inn, low], [inn, out, high]),
  ];
  const lid = [
    box([-inn, -inn, 177], [-half, inn, 180]),
    box([half, -inn, 177], [inn, inn, 180]),
    box([-half, -inn, 177], [half, -half, 180]),
    box([-half, half, 177], [half, inn, 180]),
  ];
  const meshes = new Map([
    ['a', together([...walls(120, 180), ...lid])],
    ['b', together(walls(60, 120))],
    ['c', together([...walls(0, 60), box([-inn, -inn, 0], [inn, inn, 3])])],
  ]);
  const shellOf = (mesh: Mesh, seam: number): Int32Array => {
    // each wall is a box; what looks up at the height of the seam is the mating face, what looks to the middle is the inside
    const { positions: p, triangles: t } = mesh;
    return Int32Array.from({ length: t.length / 3 }, (_, tri) => {
      const at = [0, 1, 2].map((corner) => t[tri * 3 + corner]! * 3);
      const isTop = at.every((v) => Math.abs(p[v + 2]! - (120 - 60 * seam)) < 1e-9);
      const isInside = at.every((v) => Math.abs(p[v]!) < inn + 1e-9 && Math.abs(p[v + 1]!) < inn + 1e-9);
      return isTop && seam >= 0 ? -1 - seam : isInside ? 0 : 1;
    });
  };
  const names = { a: 'A', b: 'B', c: 'C' } as const;
  const seamOf = { a: -1, b: 0, c: 1 } as const;
  const pieces = (['a', 'b', 'c'] as const).map((id) => ({
    id: names[id],
    mesh: id,
    sourceTri: shellOf(meshes.get(id)!, seamOf[id]),
    volumeMm3: { a: 3, b: 2, c: 4 }[id],
  }));
  const seams = [0, 1].map((s) => ({
    id: ['B-A', 'C-B'][s],
    pieces: [
      ['B', 'A'],
      ['C', 'B'],
    ][s],
    plane: { normal: [0, 0, 1], offsetMm: 120 - 60 * s },
    cut: 1 - s,
    bowMm: 0,
    outerMm: 960,
    innerMm: 936,
    areaMm2: 2844,
    lines: [],
  }));
  const record = { kind: 'pieces', version: 3, pieces, seams, seen: Uint8Array.of(0, 200) } as unknown as PiecesRecord;
  return { record, meshes };
}

describe('a can with a neck', () => {
  it('of 150 mm is beaded when it is whole', async () => {
    const { record, meshes } = can(150);
    const { value } = await assembled(record, plainJoints(record), meshes);
    expect(value.seams.map(({ bead }) => bead?.beforeJoin)).toEqual([null, null]);
    expect(value.seams.map(({ faceDrops }) => faceDrops)).toEqual([0, 0]);
    expect(value.totals.cureS).toBe(72 * 3600);
  });

  it('of 40 mm is beaded at the first seam before the second shuts it off; the second gets none, and its drops go onto the face', async () => {
    const { record, meshes } = can(40);
    const { value, findings } = await assembled(record, plainJoints(record), meshes);
    expect(value.joins.map(({ seams }) => seams)).toEqual([['B-A'], ['C-B']]);
    const [first, second] = value.seams;
    expect(first!.bead).toMatchObject({ afterJoin: 0, beforeJoin: 1 });
    expect(first!.faceDrops).toBe(0);
    expect(second!.faceDrops).toBe(76);
    expect(second!.runs).toBe(1);
    expect(second!.bead).toBe(null);
    expectSound(value);
    const glue = value.steps.find(({ id }) => id === 'glue-2')!;
    expect(glue.after).toContain('bead-before-2');
    // 960 mm: 76 drops of 1.5 s, and a medium glue stays open for 60
    expect(findings.map(({ code, where }) => [code, where.path])).toEqual([
      ['BEAD_OUT_OF_REACH', 'assembly.C-B'],
      ['GLUE_TIME_SHORT', 'assembly.C-B'],
    ]);
    expect(findings[1]!.measured).toBe(114);
  });
});

describe('keys in the wrong place', () => {
  const keyed = (shift: number): { record: PiecesRecord; meshes: Map<string, Mesh> } => {
    const { record, meshes } = can(150);
    const tab = (x: number): Mesh => box([x - 8, -117, 50], [x + 8, -114.6, 68]);
    const stops = [-40, 40].flatMap((x) => [
      box([x - 11, -117, 60.5], [x - 8.2, -114, 72]),
      box([x + 8.2, -117, 60.5], [x + 11, -114, 72]),
    ]);
    meshes.set('c', together([meshes.get('c')!, tab(-40 + shift), tab(40 + shift)]));
    meshes.set('b', together([meshes.get('b')!, ...stops]));
    return { record, meshes };
  };

  it('are let pass within their clearance and told of beyond it', async () => {
    const right = keyed(0.19);
    expect((await assembled(right.record, plainJoints(right.record), right.meshes)).findings).toEqual([]);
    const wrong = keyed(0.5);
    const { value, findings } = await assembled(wrong.record, plainJoints(wrong.record), wrong.meshes);
    expect(findings.map(({ code }) => code)).toEqual(['ASSEMBLY_BLOCKED']);
    expect(value.joins[1]!.meets[0]).toMatchObject({ moving: 'C', fixed: 'B' });
    expect(findings[0]!.measured).toBeGreaterThan(0.25);
    expect(findings[0]!.measured).toBeLessThan(0.35);
    expect(findings[0]!.say).toContain('7.5 mm before it is home');
  });
});
