import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { roundToSingle } from '../../../../src/geometry/round-to-single.ts';
import type { Mesh } from '../../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';
import { computePieces, PiecesSettings } from '../../../../src/workshop/pieces/pieces.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import type { PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';
import type { WearerRecord } from '../../../../src/workshop/process/wearer-record.ts';
import { testKernel } from '../../../support/kernel.ts';
import { blockMesh } from '../../../support/pieces/block-mesh.ts';

const kernel = await testKernel();

function run(mesh: Mesh, bedMm: [number, number, number], marginMm = 5) {
  const meshes = new Map<string, Mesh>([['shell', mesh]]);
  const work: ChapterWork = {
    ...QUIET_WORK,
    solid: kernel,
    meshes: {
      get: (id) => meshes.get(id)!,
      put: (piece) => {
        const id = `piece-${meshes.size}`;
        meshes.set(id, piece);
        return id;
      },
    },
  };
  const wearer: WearerRecord = {
    kind: 'wearer',
    version: 1,
    mesh: 'shell',
    scale: 1,
    sizeMm: [0, 0, 0],
    volumeMm3: 0,
    areaMm2: 0,
    wallMm: 3,
    symmetry: { normal: [1, 0, 0], offsetMm: 0 },
    girth: null,
  };
  const settings = PiecesSettings.parse({ marginMm, beds: [{ id: 'bed', bedMm }] });
  return { outcome: computePieces({ wearer }, settings, work), meshes };
}

function piecesOf(mesh: Mesh, bedMm: [number, number, number], marginMm = 5) {
  const { outcome, meshes } = run(mesh, bedMm, marginMm);
  if (!outcome.ok) throw new Error(outcome.why);
  return { record: outcome.value, meshes };
}

function expectSound(record: PiecesRecord, meshes: Map<string, Mesh>, usable: readonly [number, number, number]) {
  for (const piece of record.pieces) {
    expect(piece.poses.length).toBeGreaterThan(0);
    for (const pose of piece.poses) {
      pose.sizeMm.forEach((size, axis) => {
        expect(size).toBeLessThanOrEqual(usable[axis]!);
      });
      const laid = roundToSingle(transformMesh(pose.toLaid, meshes.get(piece.mesh)!), piece.sourceTri);
      expect(laid.numBadEdges).toBe(0);
    }
  }
}

describe('pieces of a block', () => {
  it('leaves what fits whole', () => {
    const { record } = piecesOf(blockMesh([90, 80, 70]), [110, 110, 100]);
    expect(record.pieces).toHaveLength(1);
    expect(record.seams).toHaveLength(0);
    expect(record.pieces[0]!.name).toBe('whole shell');
  });

  it('takes as many pieces as a hand count, with the seam where it must be', () => {
    // 180 x 80 x 80 on usable 100 x 100 x 100: two pieces; one seam of 80 x 80, all its edge outside
    const { record, meshes } = piecesOf(blockMesh([180, 80, 80]), [110, 110, 105]);
    expect(record.pieces).toHaveLength(2);
    expect(record.seams).toHaveLength(1);
    expect(record.seams[0]!.areaMm2).toBeCloseTo(6400, 6);
    expect(record.seams[0]!.outerMm + record.seams[0]!.innerMm).toBeCloseTo(320, 6);
    expect(record.pieces[0]!.volumeMm3 + record.pieces[1]!.volumeMm3).toBeCloseTo(180 * 80 * 80, 4);
    expectSound(record, meshes, [100, 100, 100]);
  });

  it('never takes more than the grid on a block that asks for it in two directions', () => {
    const { record, meshes } = piecesOf(blockMesh([180, 180, 80]), [110, 110, 105]);
    expect(record.pieces).toHaveLength(4);
    expectSound(record, meshes, [100, 100, 100]);
    const before = 2 * (180 * 180 + 2 * 180 * 80);
    const after = record.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0);
    const faces = record.seams.reduce((sum, seam) => sum + seam.areaMm2, 0);
    expect(after / (before + 2 * faces) - 1).toBeCloseTo(0, 9);
  });

  it('refuses a bed that its margin eats up, with the numbers', () => {
    const { outcome } = run(blockMesh([180, 80, 80]), [50, 50, 50], 20);
    expect(outcome.ok).toBe(false);
    if (!outcome.ok) {
      expect(outcome.code).toBe('PIECES_BED_TOO_SMALL');
      expect(outcome.why).toContain('20');
    }
  });
});
