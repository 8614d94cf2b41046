import { describe, expect, test } from 'vitest';
import { minus, plus, scaled } from '../../../../../src/geometry/three-by-three.ts';
import type { Vec3 } from '../../../../../src/mesh/mesh.ts';
import type { KeyForm } from '../../../../../src/workshop/pieces/joints/key-form.ts';
import { keySites, sitePlaces } from '../../../../../src/workshop/pieces/joints/key-sites.ts';
import type { KeySolids } from '../../../../../src/workshop/pieces/joints/key-solids.ts';
import { type ThinKeys, thinKeys, thinRooms } from '../../../../../src/workshop/pieces/joints/thin-keys.ts';
import { collisionBody, distanceTo } from '../../../../support/collision/collision-body.ts';
import { testKernel } from '../../../../support/kernel.ts';
import type { CutShell } from '../../../../support/pieces/cut-sections.ts';
import { expectSound, fitOf } from '../../../../support/pieces/key-checks.ts';
import { cutBowl, cutPipe } from '../../../../support/pieces/walled-shapes.ts';

const kernel = await testKernel();
const FORM = { reachMm: 8, thickMm: 2.4, clearanceMm: 0.25, skinMm: 1.2 };

function firstKey(
  { sections, ground }: CutShell,
  about: Omit<ThinKeys, 'pieces' | 'ground'>,
  form: KeyForm = FORM,
): KeySolids | undefined {
  const [section] = sections;
  const rooms = thinRooms(about.kind, 16, form);
  const { sites } = keySites(sitePlaces(section!, ground, { rooms }), 60, []);
  return thinKeys(sites.slice(1, 2), form, { ...about, pieces: section!.seam.pieces, ground })[0];
}

describe.each([
  ['a pipe of 4 mm', () => cutPipe(4)],
  ['a leaning wall of 6 mm', () => cutBowl(6)],
] as const)('%s', (_, shape) => {
  const cut = shape();
  test.each([
    ['tabs', 'stops', 0],
    ['tabs', 'stops', 1],
    ['tabs', 'pocket', 1],
    ['laps', 'stops', 0],
    ['laps', 'stops', 1],
    ['strips', 'stops', 0],
    ['strips', 'stops', 1],
  ] as const)(
    '%s, %s, carried by piece %i: sound, clear by the clearance, slides in, leaves skin',
    (kind, heldBy, carriers) => {
      const key = firstKey(cut, { kind, heldBy, carriers })!;
      expectSound(key);
      const fit = fitOf(key, cut.ground);
      expect(fit.inside).toBe(0);
      expect(fit.seatedMm).toBeCloseTo(FORM.clearanceMm, 1);
      expect(fit.seatedMm).toBeGreaterThan(FORM.clearanceMm - 0.02);
      expect(fit.onTheWayMm).toBeGreaterThan(FORM.clearanceMm - 0.02);
      expect(fit.skinMm).toBeGreaterThan(FORM.skinMm);
    },
  );
});

test('moved by the gap of a contact, and not before, a tab meets what holds it', () => {
  const cut = cutPipe(4);
  const key = firstKey(cut, { kind: 'tabs', heldBy: 'pocket', carriers: 0 })!;
  const { points, normals, gapMm } = key.contacts;
  const plain = cut.ground.pieces.get(key.key.receiver)!.mesh;
  const body = collisionBody(kernel.combine(plain, key.receiver.add, key.receiver.cut).mesh);
  const ways = new Set<string>();
  gapMm.forEach((gap, i) => {
    const [place, way] = [points, normals].map(
      (of) => Array.from(of.subarray(i * 3, i * 3 + 3)) as unknown as Vec3,
    ) as [Vec3, Vec3];
    expect(Math.hypot(...way)).toBeCloseTo(1, 9);
    expect(distanceTo(body, place, 0)).toBeGreaterThan(gap - 0.02);
    expect(distanceTo(body, plus(place, scaled(way, gap)), 0)).toBeLessThan(0.03);
    const { along, inward } = key.key;
    for (const [name, axis] of [
      ['along', along],
      ['inward', inward],
    ] as const) {
      const by = axis[0] * way[0] + axis[1] * way[1] + axis[2] * way[2];
      if (Math.abs(by) > 0.9) ways.add(`${name} ${by > 0 ? '+' : '-'}`);
    }
  });
  expect([...ways].sort()).toEqual(['along +', 'along -', 'inward +', 'inward -']);
  expect(Math.hypot(...minus(key.key.inward, [0, 0, 0]))).toBeCloseTo(1, 9);
});

/** How far a contact of a key looks along a way. */
function wayOf({ contacts: { normals } }: KeySolids, contact: number, way: Vec3): number {
  return [0, 1, 2].reduce((sum, c) => sum + normals[contact * 3 + c]! * way[c]!, 0);
}

test('the flanks of a tab may be led more closely than its wall and lips', () => {
  const cut = cutPipe(4);
  const about = { kind: 'tabs', heldBy: 'pocket', carriers: 0 } as const;
  const key = firstKey(cut, about, { ...FORM, besideMm: 0.1 })!;
  expectSound(key);
  expect(key.key).toMatchObject({ clearanceMm: 0.25, besideMm: 0.1 });
  const besides = key.contacts.gapMm.filter((_, i) => Math.abs(wayOf(key, i, key.key.along)) > 0.999);
  expect(besides.length).toBeGreaterThan(4);
  for (const gap of besides) expect(gap).toBeCloseTo(0.1, 9);
  const fit = fitOf(key, cut.ground);
  expect(fit.inside).toBe(0);
  expect(fit.seatedMm).toBeCloseTo(0.1, 2);
  expect(fit.onTheWayMm).toBeGreaterThan(0.08);
});

test('a lap lies flush, a strip reaches into both pieces', () => {
  const lap = firstKey(cutPipe(6), { kind: 'laps', heldBy: 'stops', carriers: 0 })!;
  expect(lap.receiver.add.length + lap.carrier.cut.length).toBe(0);
  const radii = [];
  const p = lap.carrier.add[0]!.positions;
  for (let i = 0; i < p.length; i += 3) radii.push(Math.hypot(p[i]!, p[i + 1]!));
  expect(Math.min(...radii)).toBeGreaterThan(53.9);
  const strip = firstKey(cutPipe(3), { kind: 'strips', heldBy: 'stops', carriers: 0 })!;
  expect([strip.carrier, strip.receiver].map(({ add, cut }) => [add.length, cut.length])).toEqual([
    [0, 1],
    [0, 1],
  ]);
  // glued down on the carrier's floor, but anywhere between the closer sides of its seat
  const besides = strip.contacts.gapMm.filter((_, i) => Math.abs(wayOf(strip, i, strip.key.along)) > 0.999);
  const under = strip.contacts.gapMm.filter((_, i) => Math.abs(wayOf(strip, i, strip.key.along)) <= 0.999);
  expect(besides.length * under.length).toBeGreaterThan(0);
  for (const gap of besides) expect(gap).toBeCloseTo(1.5 * FORM.clearanceMm, 9);
  for (const gap of under) expect(gap).toBeCloseTo(FORM.clearanceMm, 9);
});

test('a wall that rises too fast for lips gets its pocket from the other piece', () => {
  const cut = cutBowl(3, { normal: [0, 0, 1], offsetMm: 45.3 });
  expect(firstKey(cut, { kind: 'tabs', heldBy: 'pocket', carriers: 0 })).toBeUndefined();
  expect(firstKey(cut, { kind: 'tabs', heldBy: 'pocket', carriers: 1 })).toBeDefined();
});
