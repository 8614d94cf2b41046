import { describe, expect, it } from 'vitest';
import { selfCrossings } from '../../../../../src/geometry/crossings/self-crossings.ts';
import { roundToSingle } from '../../../../../src/geometry/round-to-single.ts';
import { dot, minus } from '../../../../../src/geometry/three-by-three.ts';
import { box, tube } from '../../../../../src/mesh/builders.ts';
import { areaNormals, volume } from '../../../../../src/mesh/measure.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../../src/mesh/topology.ts';
import { transformMesh } from '../../../../../src/mesh/transform.ts';
import { NO_BOSS_WORDS } from '../../../../../src/workshop/pieces/joints/boss-solids.ts';
import type { KeyRoom, KeySite } from '../../../../../src/workshop/pieces/joints/key-site.ts';
import { keySites, sitePlaces } from '../../../../../src/workshop/pieces/joints/key-sites.ts';
import type { KeySolids } from '../../../../../src/workshop/pieces/joints/key-solids.ts';
import { FROM_ADDED, keyedPiece } from '../../../../../src/workshop/pieces/joints/keyed-piece.ts';
import { magnetBosses, magnetKeys, magnetRoom } from '../../../../../src/workshop/pieces/joints/magnet-solids.ts';
import { screwBosses, screwRoom } from '../../../../../src/workshop/pieces/joints/screw-solids.ts';
import { skinOutside } from '../../../../../src/workshop/pieces/joints/skin-outside.ts';
import { type CutSolid, cutSolid } from '../../../../support/joints/cut-solid.ts';
import { testKernel } from '../../../../support/kernel.ts';

const kernel = await testKernel();
const magnet = { diameterMm: 6, heightMm: 3, skinMm: 1.2, spacingMm: 60 };
const screw = { diameterMm: 3, skinMm: 1.2 };
const middle = { normal: [0, 0, 1] as const, offsetMm: 41.3 };
const walls: readonly (readonly [string, () => CutSolid])[] = [
  ['a flat wall', () => cutSolid(box([0, 0, 0], [130, 3, 80]), middle, (_x, y) => y < 3)],
  [
    'a round wall',
    () => cutSolid(tube({ outerMm: 80, wallMm: 3, heightMm: 80 }, 120, 16), middle, (x, y) => Math.hypot(x, y) > 78.5),
  ],
];
const sitesFor = ({ section, ground }: CutSolid, room: KeyRoom): readonly KeySite[] =>
  keySites(sitePlaces(section, ground, { rooms: [room] }), 60, []).sites;

function keyed(cut: CutSolid, keys: readonly KeySolids[]) {
  return cut.pieces.map((piece) => {
    const changes = keys.map((key) => (key.key.carrier === piece.id ? key.carrier : key.receiver));
    const made = keyedPiece(piece, kernel, { name: piece.id, changes });
    if (!made.ok) throw new Error(made.why);
    expect(surfaceCheck(made.value.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1 });
    expect(selfCrossings(made.value.mesh).pairs).toBe(0);
    const laid = roundToSingle(transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 91, 97, 5], made.value.mesh));
    expect(selfCrossings(laid.mesh).pairs).toBe(0);
    return made.value;
  });
}

/** Largest lean of what keys added that looks away from `up` by more than it may: degrees beyond vertical, faces within `skipMm` of the seam left out. */
function worstOverhangDeg(piece: ReturnType<typeof keyed>[number], up: Vec3): number {
  const normals = areaNormals(piece.mesh);
  const p = piece.mesh.positions;
  let worst = 0;
  for (let tri = 0; tri < piece.from.length; tri++) {
    if (piece.from[tri] !== FROM_ADDED) continue;
    const n: Vec3 = [normals[tri * 3]!, normals[tri * 3 + 1]!, normals[tri * 3 + 2]!];
    const area = Math.hypot(...n);
    const height = Math.abs(p[piece.mesh.triangles[tri * 3]! * 3 + 2]! - 41.3);
    if (area < 0.02 || height < 0.1) continue;
    worst = Math.max(worst, (Math.asin(Math.min(1, -dot(n, up) / area)) * 180) / Math.PI);
  }
  return worst;
}

describe.each(walls)('bosses on %s', (_, make) => {
  const cut = make();

  it('hold magnets: pockets wide and deep enough, disc clear, nothing of the wall cut', () => {
    const keys = sitesFor(cut, magnetRoom(magnet)).map((site) =>
      magnetBosses(site, magnet, { carrier: 0, pieces: ['A', 'B'] }),
    );
    expect(keys.length).toBeGreaterThanOrEqual(2);
    const made = keys.filter((key) => typeof key !== 'string');
    expect(made.length).toBe(keys.length);
    const pair = keyed(cut, made);
    for (const piece of pair) {
      expect(skinOutside(piece, cut.ground.outside)!.skinMm).toBeGreaterThan(2.8);
      expect(piece.gainedMm3).toBeGreaterThan(0);
    }
    for (const { key, loose, contacts } of made) {
      expect(key).toMatchObject({
        kind: 'magnet',
        carrier: 'A',
        receiver: 'B',
        widthMm: 6,
        reachMm: expect.closeTo(0.8, 9),
      });
      expect(volume(loose!)).toBeCloseTo(3 * Math.PI * 9, 0);
      // 0.1 round it in either pocket
      expect(contacts.gapMm.every((gap) => gap > 0.19 && gap < 0.21)).toBe(true);
      // Outlines of a seam are kept in single precision.
      expect(key.atMm[2]).toBeCloseTo(41.3, 5);
      // The disc lies in what was cut: taking it from the pieces changes nothing.
      for (const { mesh } of pair) expect(volume(kernel.combine(mesh, [], [loose!]).mesh)).toBeCloseTo(volume(mesh), 6);
    }
    // Without support either way up: ramps of 45 degrees, pockets' floors apart.
    expect(worstOverhangDeg(pair[0]!, [0, 0, 1])).toBeLessThan(46);
    expect(worstOverhangDeg(pair[1]!, [0, 0, -1])).toBeLessThan(46);
  });

  it('hold screws: a clear hole with a flat for the head, a narrow one with a floor', () => {
    const keys = sitesFor(cut, screwRoom(screw)).map((site) =>
      screwBosses(site, screw, { carrier: 1, pieces: ['A', 'B'] }),
    );
    const made = keys.filter((key) => typeof key !== 'string');
    expect(made.length).toBeGreaterThanOrEqual(2);
    const pair = keyed(cut, made);
    for (const piece of pair) expect(skinOutside(piece, cut.ground.outside)!.skinMm).toBeGreaterThan(2.5);
    for (const { key } of made) {
      expect(key).toMatchObject({ kind: 'screw', carrier: 'B', reachMm: 7.5, clearanceMm: 0.25 });
      // Along the axis the carrier is open right through, the receiver as deep as the thread and then closed.
      const probe = (piece: Mesh, fromMm: number, toMm: number, radius: number): number => {
        const out = Math.sign(dot(key.into, [0, 0, 1]));
        const [x, y, z] = key.atMm;
        const low: Vec3 = [x - radius, y - radius, z + Math.min(out * fromMm, out * toMm)];
        const high: Vec3 = [x + radius, y + radius, z + Math.max(out * fromMm, out * toMm)];
        const rod = box(low, high);
        return volume(rod) - (volume(piece) - volume(kernel.combine(piece, [], [rod]).mesh));
      };
      expect(probe(pair[1]!.mesh, -5.9, -0.1, 1) / (4 * 5.8)).toBeCloseTo(1, 6);
      expect(probe(pair[0]!.mesh, 0.1, 7.4, 0.8) / (1.6 * 1.6 * 7.3)).toBeCloseTo(1, 6);
      expect(probe(pair[0]!.mesh, 7.6, 8.4, 0.8)).toBeCloseTo(0, 6);
    }
  });
});

describe('bossesAt', () => {
  it('says that a wall cut aslant leaves no room for a straight hole', () => {
    const lean = 0.8;
    const upright = box([0, 0, 0], [130, 3, 80]);
    const leaning = meshOf(
      upright.positions.map((x, i) => (i % 3 === 1 ? x + lean * upright.positions[i + 1]! : x)),
      upright.triangles,
    );
    const cut = cutSolid(leaning, middle, (_x, y, z) => y - lean * z < 2.5);
    const reasons = sitesFor(cut, screwRoom(screw)).map((site) =>
      screwBosses(site, screw, { carrier: 0, pieces: ['A', 'B'] }),
    );
    expect(reasons.length).toBeGreaterThan(0);
    for (const reason of reasons) expect(reason).toBe('rises');
    for (const words of Object.values(NO_BOSS_WORDS)) expect(words).toMatch(/\.$/);
  });
});

describe('magnetKeys', () => {
  it('sets discs into a thick face, one standing out into the other pocket', () => {
    const cut = cutSolid(box([0, 0, 0], [120, 12, 80]), middle);
    const { keys, why } = magnetKeys(cut.section, cut.ground, magnet, { carrier: 0 });
    expect(why).toBeNull();
    const pair = keyed(cut, keys);
    for (const piece of pair) expect(skinOutside(piece, cut.ground.outside)!.skinMm).toBeGreaterThanOrEqual(1.2 - 1e-6);
    const depths = pair.map((piece) => -piece.gainedMm3 / (keys.length * Math.PI * 3.1 ** 2));
    expect(depths[0]).toBeCloseTo(2.2, 1);
    expect(depths[1]).toBeCloseTo(4.2, 1);
    expect(minus(keys[0]!.key.atMm, keys[1]!.key.atMm)[2]).toBeCloseTo(0, 9);
  });

  it('says how wide a face would do', () => {
    const cut = cutSolid(box([0, 0, 0], [120, 7, 80]), middle);
    expect(magnetKeys(cut.section, cut.ground, magnet, { carrier: 0 }).why).toContain(
      'Two magnets of 6 x 3 mm need room 8.6 mm across',
    );
  });
});
