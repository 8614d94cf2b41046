import { describe, expect, test } from 'vitest';
import { minus } from '../../../../../src/geometry/three-by-three.ts';
import { box } from '../../../../../src/mesh/builders.ts';
import type { KeySite } from '../../../../../src/workshop/pieces/joints/key-site.ts';
import { keySites, sitePlaces } from '../../../../../src/workshop/pieces/joints/key-sites.ts';
import { sayWithout, thinRooms } from '../../../../../src/workshop/pieces/joints/thin-keys.ts';
import { cutShell } from '../../../../support/pieces/cut-sections.ts';
import { cutBowl, cutPipe, cutPlate } from '../../../../support/pieces/walled-shapes.ts';

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
});
