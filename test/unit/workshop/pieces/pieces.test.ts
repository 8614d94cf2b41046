import { describe, expect, it } from 'vitest';
import { blockMesh } from '../../../support/pieces/block-mesh.ts';
import { domeMesh } from '../../../support/pieces/round-shapes.ts';
import { expectLaws, piecesOf, runPieces } from '../../../support/pieces/run-pieces.ts';

describe('pieces of a block', () => {
  it('leaves what fits whole', () => {
    const { record } = piecesOf(blockMesh([90, 80, 70]), { bedMm: [110, 110, 100] });
    expect(record.pieces).toHaveLength(1);
    expect(record.seams).toHaveLength(0);
    expect(record.pieces[0]!.name).toBe('whole shell');
  });

  it('leaves whole what fits only askew', () => {
    // a bar of 300 x 10 lies in a square of 220: 310 / sqrt(2) = 219.2
    const { record } = piecesOf(blockMesh([300, 10, 10]), { bedMm: [230, 230, 100] });
    expect(record.pieces).toHaveLength(1);
  });

  it('takes as many pieces as a hand count, with the seam where it must be', () => {
    // 180 x 80 x 80 on usable 100 x 100 x 100: two pieces; one seam of 80 x 80, all its edge outside
    const mesh = blockMesh([180, 80, 80]);
    const about = { bedMm: [110, 110, 105] } as const;
    const found = piecesOf(mesh, about);
    expect(found.record.pieces).toHaveLength(2);
    expect(found.record.seams).toHaveLength(1);
    const seam = found.record.seams[0]!;
    expect(seam.areaMm2).toBeCloseTo(6400, 6);
    expect(seam.outerMm).toBeCloseTo(320, 6);
    expect(seam.innerMm).toBe(0);
    expect(seam.outlines).toHaveLength(1);
    expectLaws(mesh, about, found);
  });

  it('takes no more than the grid where a block asks for it in two directions, and joins neighbours only', () => {
    const mesh = blockMesh([180, 180, 80]);
    const about = { bedMm: [110, 110, 105] } as const;
    const found = piecesOf(mesh, about);
    expect(found.record.pieces).toHaveLength(4);
    expect(found.record.seams.map((seam) => seam.id).every((id) => !id.includes('.'))).toBe(true);
    expect(found.record.seams).toHaveLength(4);
    expectLaws(mesh, about, found);
  });
});

describe('pieces of a dome', () => {
  const mesh = domeMesh({ widthMm: 240, depthMm: 280, heightMm: 220, wallMm: 3, bump: 0.01, seed: 1 });
  const about = { bedMm: [220, 220, 250] } as const;
  const found = piecesOf(mesh, about);

  it('holds the laws', () => expectLaws(mesh, about, found));

  it('tells the outside of a seam from its inside', () => {
    for (const seam of found.record.seams) {
      expect(seam.outerMm).toBeGreaterThan(0);
      expect(seam.innerMm).toBeGreaterThan(0);
      // the strip between them is the wall: area over mean length is about 3 mm, more where the cut is slanting
      const width = seam.areaMm2 / ((seam.outerMm + seam.innerMm) / 2);
      expect(width).toBeGreaterThan(2.7);
      expect(width).toBeLessThan(9);
    }
  });

  it('gives the same again', () => {
    const again = piecesOf(mesh, about);
    expect(again.record).toEqual(found.record);
    for (const piece of found.record.pieces) {
      expect(again.meshes.get(piece.mesh)).toEqual(found.meshes.get(piece.mesh));
    }
  });
});

describe('what cannot be met', () => {
  it('refuses a bed that its margin eats up, with the numbers', () => {
    const { outcome } = runPieces(blockMesh([180, 80, 80]), { bedMm: [50, 50, 50], marginMm: 20 });
    expect(outcome).toMatchObject({ ok: false, code: 'PIECES_BED_TOO_SMALL' });
    if (!outcome.ok) expect(outcome.why).toMatch(/20 mm.*50 x 50 x 50/);
  });

  it('refuses more pieces than are allowed, with the numbers', () => {
    const { outcome } = runPieces(blockMesh([180, 180, 80]), { bedMm: [110, 110, 105], mostPieces: 3 });
    expect(outcome).toMatchObject({ ok: false, code: 'PIECES_TOO_MANY' });
    if (!outcome.ok) expect(outcome.why).toMatch(/more than 3 pieces/);
  });
});
