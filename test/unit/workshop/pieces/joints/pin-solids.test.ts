import { describe, expect, it } from 'vitest';
import { selfCrossings } from '../../../../../src/geometry/crossings/self-crossings.ts';
import { roundToSingle } from '../../../../../src/geometry/round-to-single.ts';
import { triangleGap } from '../../../../../src/geometry/triangle-gap.ts';
import { buildBoundingTree } from '../../../../../src/mesh/bounding-tree.ts';
import { box, icoSphere } from '../../../../../src/mesh/builders.ts';
import { volume } from '../../../../../src/mesh/measure.ts';
import type { Mesh } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../../src/mesh/topology.ts';
import { transformMesh } from '../../../../../src/mesh/transform.ts';
import type { KeySolids } from '../../../../../src/workshop/pieces/joints/key-solids.ts';
import { FROM_ADDED, type KeyedPiece, keyedPiece } from '../../../../../src/workshop/pieces/joints/keyed-piece.ts';
import { PIN_DEFAULTS, pinKeys, rodKeys } from '../../../../../src/workshop/pieces/joints/pin-solids.ts';
import { SIDE_SEAM } from '../../../../../src/workshop/pieces/joints/seam-section.ts';
import { skinOutside } from '../../../../../src/workshop/pieces/joints/skin-outside.ts';
import { type CutSolid, cutSolid } from '../../../../support/joints/cut-solid.ts';
import { keyVolumes } from '../../../../support/joints/other-boolean.ts';
import { testKernel } from '../../../../support/kernel.ts';

const kernel = await testKernel();
const form = { diameterMm: 4, clearanceMm: 0.2, skinMm: 1.2, spacingMm: 60 };
const level = (offsetMm: number) => ({ normal: [0, 0, 1] as const, offsetMm });
/** A slab of some thickness along y. */
const slab = (thickMm: number, lengthMm = 100): CutSolid =>
  cutSolid(box([0, 0, 0], [lengthMm, thickMm, 60]), level(27.3));

function keyedPair({ pieces }: CutSolid, keys: readonly KeySolids[]): readonly [KeyedPiece, KeyedPiece] {
  return pieces.map((piece) => {
    const changes = keys.map((key) => (key.key.carrier === piece.id ? key.carrier : key.receiver));
    const made = keyedPiece(piece, kernel, { name: piece.id, changes });
    if (!made.ok) throw new Error(made.why);
    expect(made.findings).toEqual([]);
    expect(surfaceCheck(made.value.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1 });
    expect(selfCrossings(made.value.mesh).pairs).toBe(0);
    const laid = roundToSingle(transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 31, 17, 5], made.value.mesh));
    expect(selfCrossings(laid.mesh).pairs).toBe(0);
    return made.value;
  }) as unknown as readonly [KeyedPiece, KeyedPiece];
}

/** From the triangles of a mesh that are asked for to another mesh. */
function leastGap(mesh: Mesh, other: Mesh, wanted: (tri: number) => boolean): number {
  const tree = buildBoundingTree(other);
  let least = Infinity;
  for (let tri = 0; tri < mesh.triangles.length / 3; tri++) {
    if (!wanted(tri)) continue;
    const corners = [0, 1, 2].flatMap((c) => [...mesh.positions.slice(mesh.triangles[tri * 3 + c]! * 3).slice(0, 3)]);
    least = Math.min(least, triangleGap(tree, Float64Array.from(corners))!.distanceMm);
  }
  return least;
}

describe('pinKeys', () => {
  for (const carrier of [0, 1] as const)
    it(`grows pins on the ${carrier === 0 ? 'lower' : 'upper'} piece: clear of their sockets, skin left, closed`, () => {
      const cut = slab(9);
      const { keys, why, bodies } = pinKeys(cut.section, cut.ground, form, { carrier });
      expect(why).toBeNull();
      expect(keys.length).toBeGreaterThanOrEqual(2);
      expect(bodies.length).toBe(keys.length);
      const pair = keyedPair(cut, keys);
      const [with_, socket] = [pair[carrier], pair[carrier === 0 ? 1 : 0]];
      for (const { key, contacts } of keys) {
        expect([key.carrier, key.receiver]).toEqual(carrier === 0 ? ['A', 'B'] : ['B', 'A']);
        expect(key.into).toEqual(carrier === 0 ? [0, 0, 1] : [-0, -0, -1]);
        expect(key.atMm[2]).toBeCloseTo(27.3, 9);
        expect(key.reachMm).toBe(8);
        expect(Math.min(...contacts.gapMm)).toBeGreaterThanOrEqual(0.2);
        expect(Math.max(...contacts.gapMm)).toBeLessThan(0.21);
      }
      const sign = carrier === 0 ? 1 : -1;
      const p = with_.mesh.positions;
      const inSocket = (tri: number): boolean =>
        with_.from[tri] === FROM_ADDED &&
        [0, 1, 2].every((c) => sign * (p[with_.mesh.triangles[tri * 3 + c]! * 3 + 2]! - 27.3) > 1e-6);
      expect(leastGap(with_.mesh, socket.mesh, inSocket)).toBeGreaterThan(0.2 - 1e-6);
      const skin = skinOutside(socket, cut.ground.outside)!;
      expect(skin.skinMm).toBeGreaterThanOrEqual(1.2 - 1e-6);
      expect(skin.skinMm).toBeLessThan(2.4);
    });

  it('sets two alone as far apart as they go, and more at their spacing', () => {
    const two = pinKeys(slab(9).section, slab(9).ground, form, { carrier: 0 }).keys;
    const apart = two[0]!.key.atMm[0] - two[1]!.key.atMm[0];
    expect(Math.abs(apart)).toBeGreaterThan(88);
    const long = slab(9, 260);
    const more = pinKeys(long.section, long.ground, form, { carrier: 0 })
      .keys.map(({ key }) => key.atMm[0])
      .sort((a, b) => a - b);
    expect(more.length).toBeGreaterThanOrEqual(4);
    for (let i = 1; i < more.length; i++) expect(more[i]! - more[i - 1]!).toBeGreaterThanOrEqual(59);
  });

  it('keeps 5 mm from corners of the face, and from where it ends on another seam', () => {
    const cut = slab(20);
    const corners = [0, 100].flatMap((x) => [0, 20].map((y) => [x, y] as const));
    const { keys } = pinKeys(cut.section, cut.ground, form, { carrier: 0 });
    for (const { key } of keys)
      for (const [x, y] of corners)
        expect(Math.hypot(key.atMm[0] - x, key.atMm[1] - y)).toBeGreaterThanOrEqual(5 + 2.2 - 1e-6);
    const { loops } = cut.section;
    const half = loops.map((loop) => ({ ...loop, sides: loop.sides.map((_, i) => (i === 0 ? SIDE_SEAM : 0)) }));
    const blunt = pinKeys({ ...cut.section, loops: half }, cut.ground, form, { carrier: 0 });
    const ends = [0, 1].map((i) => [loops[0]!.points[i * 3]!, loops[0]!.points[i * 3 + 1]!]);
    for (const { key } of blunt.keys)
      for (const [x, y] of ends) expect(Math.hypot(key.atMm[0] - x!, key.atMm[1] - y!)).toBeGreaterThan(7.19);
  });

  it('leaves out the mouth when the skin would not bear it, and nothing of the skin', () => {
    const thin = slab(6.9);
    const { keys, why } = pinKeys(thin.section, thin.ground, form, { carrier: 0 });
    expect(why).toBeNull();
    const [, socket] = keyedPair(thin, keys);
    expect(skinOutside(socket, thin.ground.outside)!.skinMm).toBeGreaterThanOrEqual(1.2 - 1e-6);
  });

  it('reaches into the narrow end of a wedge with thinner ones, the thickest that fits at each place', () => {
    const even = box([0, 0, 0], [200, 1, 60]);
    // 12 mm at one end, 4.5 at the other
    const positions = even.positions.map((at, i) => (i % 3 === 1 ? at * (12 - 0.0375 * even.positions[i - 1]!) : at));
    const wedge = cutSolid({ ...even, positions }, level(27.3));
    const reachOf = (keys: readonly KeySolids[]): number => Math.max(...keys.map(({ key }) => key.atMm[0]));
    const thick = pinKeys(wedge.section, wedge.ground, form, { carrier: 0 }).keys;
    const mixed = pinKeys(wedge.section, wedge.ground, { ...form, thinnestMm: 2 }, { carrier: 'either' }).keys;
    expect(new Set(thick.map(({ key }) => key.widthMm))).toEqual(new Set([4]));
    expect(reachOf(mixed)).toBeGreaterThan(reachOf(thick) + 25);
    const widths = mixed.map(({ key }) => key.widthMm);
    expect(Math.max(...widths)).toBe(4);
    expect(Math.min(...widths)).toBeLessThan(4);
    for (const piece of keyedPair(wedge, mixed)) {
      const skin = skinOutside(piece, wedge.ground.outside);
      if (skin !== null) expect(skin.skinMm).toBeGreaterThanOrEqual(1.2 - 1e-6);
    }
  });

  it('says what would do where they do not fit', () => {
    const narrow = slab(6);
    expect(pinKeys(narrow.section, narrow.ground, form, { carrier: 0 })).toEqual({
      keys: [],
      bodies: [],
      why: 'Two pins of 4 mm need room 6.8 mm across and 1.0 and 5.3 mm deep, at two places well apart; the widest of this face is 6.0 mm. Pins of 3 mm would do.',
    });
    const short = cutSolid(box([0, 0, 0], [9, 9, 60]), level(30));
    expect(pinKeys(short.section, short.ground, form, { carrier: 0 }).why).toContain(
      'the widest of this face is 9.0 mm.',
    );
  });

  it('shortens pins in a shallow receiver, and refuses one that is too shallow', () => {
    const shallow = cutSolid(box([0, 0, 0], [100, 12, 60]), level(50.2));
    const { keys } = pinKeys(shallow.section, shallow.ground, form, { carrier: 0 });
    expect(keys.map(({ key }) => key.reachMm)).toEqual(keys.map(() => 4.8));
    const [, socket] = keyedPair(shallow, keys);
    expect(skinOutside(socket, shallow.ground.outside)!.skinMm).toBeGreaterThanOrEqual(1.2 - 1e-6);
    const flat = cutSolid(box([0, 0, 0], [100, 12, 60]), level(55));
    expect(pinKeys(flat.section, flat.ground, form, { carrier: 0 }).why).toContain('deep');
  });

  it('keeps clear of what other keys fill', () => {
    const cut = slab(9);
    const first = pinKeys(cut.section, cut.ground, form, { carrier: 0 });
    const second = pinKeys(cut.section, cut.ground, form, { carrier: 0, taken: first.bodies });
    for (const a of first.keys)
      for (const b of second.keys)
        expect(Math.hypot(a.key.atMm[0] - b.key.atMm[0], a.key.atMm[1] - b.key.atMm[1])).toBeGreaterThan(
          4.4 + 1.2 - 0.1,
        );
  });

  it('stays away from a wall that leans in over the socket', () => {
    const ball = cutSolid(icoSphere(30, 3), level(18.2));
    const { keys } = pinKeys(ball.section, ball.ground, { ...form, spacingMm: 30 }, { carrier: 0 });
    expect(keys.length).toBeGreaterThanOrEqual(2);
    const [, socket] = keyedPair(ball, keys);
    expect(skinOutside(socket, ball.ground.outside)!.skinMm).toBeGreaterThanOrEqual(1.2 - 1e-6);
  });

  it('agrees with another boolean', () => {
    const ball = cutSolid(icoSphere(30, 3), level(8.3));
    const { keys } = pinKeys(ball.section, ball.ground, { ...form, spacingMm: 30 }, { carrier: 0 });
    const pair = keyedPair(ball, keys);
    for (const [i, side] of (['carrier', 'receiver'] as const).entries()) {
      const solids = { add: keys.flatMap((key) => key[side].add), cut: keys.flatMap((key) => key[side].cut) };
      const { moreMm3, lessMm3 } = keyVolumes(ball.pieces[i as 0 | 1].mesh, solids);
      expect(moreMm3 + lessMm3).toBeGreaterThan(50);
      expect(Math.abs(pair[i as 0 | 1].gainedMm3 - moreMm3 + lessMm3)).toBeLessThan(
        1e-6 * volume(ball.pieces[i as 0 | 1].mesh),
      );
    }
  });
});

describe('rodKeys', () => {
  it('cuts a hole in both pieces, with the rod between them', () => {
    const cut = slab(6);
    const rods = rodKeys(cut.section, cut.ground, { ...form, diameterMm: 1.75 }, { carrier: 1 });
    expect(rods.why).toBeNull();
    const pair = keyedPair(cut, rods.keys);
    for (const { key, loose, contacts } of rods.keys) {
      expect(key).toMatchObject({ kind: 'rod', carrier: 'B', widthMm: 1.75, reachMm: 7, heldBy: 'seat' });
      expect(surfaceCheck(loose!)).toMatchObject({ closed: true });
      for (const { mesh } of pair) expect(leastGap(loose!, mesh, () => true)).toBeCloseTo(0.2, 2);
      // as far again in the hole that it is glued into
      expect(Math.min(...contacts.gapMm)).toBeCloseTo(0.4, 2);
    }
    for (const piece of pair) {
      expect(skinOutside(piece, cut.ground.outside)!.skinMm).toBeGreaterThanOrEqual(1.2 - 1e-6);
      expect(piece.gainedMm3).toBeLessThan(-2 * Math.PI * 7);
    }
  });

  it('drills no hole that prints shut', () => {
    const cut = slab(6);
    const { keys } = rodKeys(cut.section, cut.ground, { ...form, diameterMm: 1.2, clearanceMm: 0.1 }, { carrier: 0 });
    expect(keys[0]!.key.clearanceMm).toBeCloseTo(PIN_DEFAULTS.leastMm / 2 - 0.6, 9);
  });
});
