import { describe, expect, test } from 'vitest';
import { minus } from '../../../../../src/geometry/three-by-three.ts';
import { box } from '../../../../../src/mesh/builders.ts';
import { innerLines } from '../../../../../src/workshop/pieces/joints/inner-lines.ts';
import type { KeySite } from '../../../../../src/workshop/pieces/joints/key-site.ts';
import { keySites, sitePlaces } from '../../../../../src/workshop/pieces/joints/key-sites.ts';
import { SIDE_INNER, SIDE_OUTER } from '../../../../../src/workshop/pieces/joints/seam-section.ts';
import { roomsAlone, sayWithout, thinRooms } from '../../../../../src/workshop/pieces/joints/thin-keys.ts';
import { testKernel } from '../../../../support/kernel.ts';
import { cutShell } from '../../../../support/pieces/cut-sections.ts';
import { cutBowl, cutPipe, cutPlate } from '../../../../support/pieces/walled-shapes.ts';

const kernel = await testKernel();
const FORM = { reachMm: 8, thickMm: 2.4, clearanceMm: 0.25, skinMm: 1.2 };
const search = { rooms: thinRooms('tabs', 16, FORM) };
const atMm = (sites: readonly KeySite[]) => sites.map(({ frame }) => frame.at);

describe('places for keys', () => {
  test('lie even round a ring', () => {
    const { sections, ground } = cutPipe(4);
    const { sites } = keySites(sitePlaces(sections[0]!, ground, search), 60, []);
    // 352 mm round its inside
    expect(sites.length).toBe(6);
    const turns = sites
      .map(({ frame }) => (Math.atan2(frame.at[1], frame.at[0]) * 180) / Math.PI)
      .sort((a, b) => a - b);
    for (let i = 1; i < 6; i++) expect(turns[i]! - turns[i - 1]!).toBeCloseTo(60, -0.5);
    for (const { frame, wallMm } of sites) {
      expect(wallMm).toBeCloseTo(4, 1);
      // from the wall to the middle
      expect(frame.inward[0] * frame.at[0] + frame.inward[1] * frame.at[1]).toBeLessThan(-55);
      expect(frame.into).toEqual(sections[0]!.n);
    }
  });

  test('are two on a seam longer than 50 mm, as far from one end as from the other, and 5 mm clear of both', () => {
    const { sections, ground } = cutPlate(3);
    const { sites } = keySites(sitePlaces(sections[0]!, ground, search), 60, []);
    expect(sites.length).toBe(2);
    const [a, b] = atMm(sites).map(([, y]) => y);
    expect(a! + b!).toBeCloseTo(0, 3);
    for (const { frame, room } of sites) expect(40 - Math.abs(frame.at[1]) - room.halfMm).toBeGreaterThanOrEqual(5);
  });

  test('are not where something stands on the inside, or where the wall ends', () => {
    const plate = box([-60, -40, 0], [60, 40, 3]);
    const near = cutShell(
      plate,
      { plane: { normal: [1, 0, 0], offsetMm: -54 } },
      ([, , z], n) => !(z < 1e-6 && n[2] < 0),
    );
    const found = keySites(sitePlaces(near.sections[0]!, near.ground, search), 60, []);
    expect(found.sites).toEqual([]);
    expect(found.without.opening).toBeGreaterThan(10);
    expect(sayWithout(found)).toMatch(/beside an opening/);
  });

  test('are left free by keys of other seams', () => {
    const { sections, ground } = cutBowl(3);
    const first = keySites(sitePlaces(sections[0]!, ground, search), 60, []);
    const again = keySites(sitePlaces(sections[0]!, ground, search), 60, first.sites);
    expect(first.sites.length).toBeGreaterThan(5);
    for (const place of atMm(again.sites))
      for (const other of atMm(first.sites)) expect(Math.hypot(...minus(place, other))).toBeGreaterThan(24);
  });

  test('are narrower where wide ones have no room, so that the outermost come as far out as they may', () => {
    // a rib on the inside leaves 28 mm of a 240 mm seam at one end
    const plate = box([-60, -120, 0], [60, 120, 3]);
    const shell = kernel.combine(plate, [box([-40, -92, -8], [40, -76, 0.5])], []).mesh;
    const plane = { normal: [1, 0, 0] as const, offsetMm: 0.3 };
    const { sections, ground } = cutShell(
      shell,
      { plane },
      ([, , z], n) => !(z < 2.9 && Math.abs(n[0]) < 0.5 && (n[2] < 0 || z < 0)),
    );
    const { sites } = keySites(sitePlaces(sections[0]!, ground, search), 60, []);
    const ends = sites.map(({ frame, room }) => ({ y: frame.at[1], widthMm: room.widthMm })).sort((a, b) => a.y - b.y);
    expect(ends[0]!.y).toBeLessThan(-100);
    expect(ends[0]!.widthMm).toBeLessThan(16);
    expect(ends.at(-1)!.y).toBeGreaterThan(98);
    expect(ends.at(-1)!.widthMm).toBe(16);
    expect(ends.length).toBeGreaterThanOrEqual(3);
  });

  test('are one long key on a short seam, which holds a turn by its width', () => {
    const shell = box([-60, -20, 0], [60, 20, 3]);
    const plane = { normal: [1, 0, 0] as const, offsetMm: 0.3 };
    const { sections, ground } = cutShell(shell, { plane }, ([, , z], n) => !(z < 1e-6 && n[2] < 0));
    const alone = roomsAlone('tabs', 16, FORM);
    const { sites, longestMm } = keySites(sitePlaces(sections[0]!, ground, { ...search, alone }), 60, []);
    expect(longestMm).toBeCloseTo(40, 6);
    expect(sites.length).toBe(1);
    expect(sites[0]!.frame.at[1]).toBeCloseTo(0, 6);
    // 5 mm and a stop on either side
    expect(sites[0]!.room.widthMm).toBeGreaterThan(19);
    expect(20 - sites[0]!.room.halfMm).toBeGreaterThanOrEqual(5 - 1e-9);
  });

  test('too short for any is said with both lengths', () => {
    const shell = box([-60, -8, 0], [60, 8, 3]);
    const plane = { normal: [1, 0, 0] as const, offsetMm: 0.3 };
    const { sections, ground } = cutShell(shell, { plane }, ([, , z], n) => !(z < 1e-6 && n[2] < 0));
    const found = keySites(sitePlaces(sections[0]!, ground, search), 60, []);
    expect(found.sites).toEqual([]);
    expect(sayWithout(found)).toMatch(/is 16\.0 mm, and the narrowest key takes 17\.\d mm/);
  });
});

describe('corners of the inner edge', () => {
  const section = cutPlate(3).sections[0]!;
  /** Along the inside, from -40 to 40, with heights by place. */
  const stopsOf = (heightAt: (x: number) => number) => {
    const points: number[] = [];
    for (let x = -40; x <= 40; x += 0.5) points.push(x, heightAt(x), 0);
    const num = points.length / 3;
    const sides = new Uint8Array(num).fill(SIDE_INNER);
    sides[num - 1] = SIDE_OUTER;
    const flat = Float64Array.from(points.filter((_, i) => i % 3 !== 2));
    return innerLines({ ...section, loops: [{ points: Float64Array.from(points), flat, sides }] })[0]!.stops;
  };

  test('are sharp bends, not steps of a meshed line', () => {
    const whats = (heightAt: (x: number) => number) => new Set(stopsOf(heightAt).map(({ what }) => what));
    expect(whats((x) => (Math.floor(x / 10) % 2 === 0 ? 0 : 1.2))).toEqual(new Set(['rim']));
    expect(whats((x) => Math.max(0, x))).toEqual(new Set(['rim', 'corner']));
    expect(whats((x) => 0.2 * Math.abs(x))).toEqual(new Set(['rim']));
  });
});
