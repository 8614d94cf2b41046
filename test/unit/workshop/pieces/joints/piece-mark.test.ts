import { describe, expect, it } from 'vitest';
import { selfCrossings } from '../../../../../src/geometry/crossings/self-crossings.ts';
import { bowl, box } from '../../../../../src/mesh/builders.ts';
import { bounds, volume } from '../../../../../src/mesh/measure.ts';
import type { Mesh } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../../src/mesh/topology.ts';
import { keyGround } from '../../../../../src/workshop/pieces/joints/key-ground.ts';
import { FROM_CUT, keyedPiece } from '../../../../../src/workshop/pieces/joints/keyed-piece.ts';
import { MARK_DEFAULTS, pieceMark } from '../../../../../src/workshop/pieces/joints/piece-mark.ts';
import { skinOutside } from '../../../../../src/workshop/pieces/joints/skin-outside.ts';
import { STROKE_ARROW, strokeGlyph, strokeWord } from '../../../../../src/workshop/pieces/joints/stroke-letters.ts';
import { testKernel } from '../../../../support/kernel.ts';

const kernel = await testKernel();

/** isInside: by the middle of a triangle. */
function shellOf(mesh: Mesh, isInside: (x: number, y: number, z: number) => boolean) {
  const { positions: p, triangles: t } = mesh;
  const seen = Uint8Array.from({ length: t.length / 3 }, (_, tri) => {
    const middle = (k: number): number => [0, 1, 2].reduce((sum, c) => sum + p[t[tri * 3 + c]! * 3 + k]! / 3, 0);
    return isInside(middle(0), middle(1), middle(2)) ? 0 : 80;
  });
  const piece = { id: 'A', mesh, sourceTri: Int32Array.from(seen.keys()) };
  const ground = keyGround(mesh, [piece], seen);
  return { piece: ground.pieces.get('A')!, ground };
}

/** A wall of some thickness; its inside is y = thick, looked at against +y. */
const wall = (thickMm: number) => shellOf(box([0, 0, 0], [80, thickMm, 60]), (_x, y) => y === thickMm);

function engraved({ piece, ground }: ReturnType<typeof shellOf>, cut: readonly Mesh[]) {
  const made = keyedPiece(piece, kernel, { name: 'A', changes: [{ add: [], cut }] });
  if (!made.ok) throw new Error(made.why);
  expect(surfaceCheck(made.value.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1 });
  expect(selfCrossings(made.value.mesh).pairs).toBe(0);
  return { keyed: made.value, skinMm: skinOutside(made.value, ground.outside)!.skinMm };
}

describe('strokeGlyph', () => {
  it('knows all capitals and digits, each unlike all others and within its box', () => {
    const signs = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789'];
    const drawn = signs.map((sign) => JSON.stringify(strokeGlyph(sign)!.strokes));
    expect(new Set(drawn).size).toBe(36);
    for (const sign of signs) {
      const { width, strokes } = strokeGlyph(sign)!;
      expect(width).toBeLessThanOrEqual(4 / 6);
      for (const stroke of strokes) {
        expect(stroke.length).toBeGreaterThanOrEqual(4);
        for (const value of stroke) expect(value >= 0 && value <= 1).toBe(true);
      }
    }
    expect(strokeGlyph('?')).toBeNull();
  });

  it('sets words from left to right, leaving out what it does not know', () => {
    expect(strokeWord('A?B')).toEqual(strokeWord('AB'));
    expect(strokeWord('AB').width).toBeCloseTo(4 / 6 + 0.3 + 4 / 6, 12);
    expect(strokeWord('').width).toBe(0);
    expect(STROKE_ARROW.strokes[0]).toEqual([0.25, 0, 0.25, 1]);
  });
});

describe('pieceMark', () => {
  it('engraves half a millimetre, upright as seen from inside, with the arrow on the right', () => {
    const shell = wall(4);
    const mark = pieceMark(shell.piece, shell.ground, { letter: 'L', skinMm: 1.2 });
    expect(mark).toMatchObject({ depthMm: 0.5, why: null });
    const { skinMm } = engraved(shell, mark.cut);
    expect(skinMm).toBeCloseTo(3.5, 9);
    // Seen against +y with z up, right is -x: first the upright stroke of L, then its foot, then the arrow's shaft.
    const [stem, foot, shaft] = mark.cut.map(bounds);
    expect(stem!.maxMm[2] - stem!.minMm[2]).toBeCloseTo(12 + MARK_DEFAULTS.strokeMm, 9);
    expect(foot!.maxMm[0]).toBeCloseTo(stem!.maxMm[0], 1);
    expect(foot!.minMm[0]).toBeLessThan(stem!.minMm[0] - 5);
    expect(foot!.maxMm[2]).toBeLessThan(stem!.minMm[2] + 2);
    expect(shaft!.maxMm[0]).toBeLessThan(foot!.minMm[0]);
    // Barbs of the arrow are at its upper end.
    for (const barb of mark.cut.slice(3).map(bounds)) expect(barb.minMm[2]).toBeGreaterThan(shaft!.minMm[2] + 7);
  });

  it('is shallower in a thin wall, and says so; in a thinner one it is not there', () => {
    const thin = wall(1.5);
    const mark = pieceMark(thin.piece, thin.ground, { letter: 'B', skinMm: 1.2 });
    expect(mark.depthMm).toBeCloseTo(0.3, 9);
    expect(mark.why).toBe(
      'The mark of piece B is 0.30 mm deep: the wall of 1.5 mm leaves no more over 1.2 mm of skin.',
    );
    expect(engraved(thin, mark.cut).skinMm).toBeCloseTo(1.2, 9);
    const none = wall(1.3);
    expect(pieceMark(none.piece, none.ground, { letter: 'B', skinMm: 1.2 })).toEqual({
      cut: [],
      atMm: null,
      depthMm: 0,
      why: 'Piece B has no mark: where it is flat enough its wall is 1.3 mm, and 1.4 mm would do.',
    });
  });

  it('keeps off keys, and grows smaller for it', () => {
    const shell = wall(4);
    const off = { atMm: [40, 4, 30] as const, radiusMm: 18 };
    const mark = pieceMark(shell.piece, shell.ground, { letter: 'C', skinMm: 1.2, keepOff: [off] });
    const box = mark.cut.map(bounds);
    for (const { minMm, maxMm } of box) {
      const [x, z] = [Math.max(minMm[0], Math.min(40, maxMm[0])), Math.max(minMm[2], Math.min(30, maxMm[2]))];
      expect(Math.hypot(x - 40, z - 30)).toBeGreaterThan(18);
    }
    const everywhere = { atMm: [40, 4, 30] as const, radiusMm: 60 };
    expect(pieceMark(shell.piece, shell.ground, { letter: 'C', skinMm: 1.2, keepOff: [everywhere] })).toMatchObject({
      cut: [],
      why: 'Piece C has no mark: no place inside is flat, free and steep enough for one of 7 mm.',
    });
  });

  it('follows a curved wall with even depth', () => {
    const shell = shellOf(bowl({ outerMm: 70, wallMm: 4 }, 40), (x, y, z) => Math.hypot(x, y, z) < 67);
    const mark = pieceMark(shell.piece, shell.ground, { letter: 'B7', skinMm: 1.2 });
    expect(mark.depthMm).toBe(0.5);
    const { keyed, skinMm } = engraved(shell, mark.cut);
    expect(skinMm).toBeGreaterThan(3.45);
    const p = keyed.mesh.positions;
    const floor = [...keyed.from.keys()]
      .filter((tri) => keyed.from[tri] === FROM_CUT)
      .flatMap((tri) => [0, 1, 2].map((c) => keyed.mesh.triangles[tri * 3 + c]! * 3))
      .map((v) => Math.hypot(p[v]!, p[v + 1]!, p[v + 2]!));
    expect(Math.max(...floor)).toBeLessThan(66.5 + 0.01);
    expect(-keyed.gainedMm3).toBeGreaterThan(volume(shell.piece.mesh) * 1e-5);
  });

  it('says of a piece without an inside, and of one that lies flat, that there is no mark', () => {
    const block = shellOf(box([0, 0, 0], [80, 4, 60]), () => false);
    expect(pieceMark(block.piece, block.ground, { letter: 'D', skinMm: 1.2 }).why).toBe(
      'Piece D has no inside to engrave.',
    );
    const lid = shellOf(box([0, 0, 0], [80, 60, 4]), (_x, _y, z) => z === 0);
    expect(pieceMark(lid.piece, lid.ground, { letter: 'D', skinMm: 1.2 }).cut).toEqual([]);
  });
});
