import { describe, expect, test } from 'vitest';
import { jointKindFor, sectionMeasures } from '../../../../../src/workshop/pieces/joints/joint-kind.ts';
import { keySites, sitePlaces } from '../../../../../src/workshop/pieces/joints/key-sites.ts';
import { type ThinKind, thinKeys, thinRooms } from '../../../../../src/workshop/pieces/joints/thin-keys.ts';
import { expectSound } from '../../../../support/pieces/key-checks.ts';
import { cutBowl, cutPipe, cutPlate } from '../../../../support/pieces/walled-shapes.ts';

const SETTINGS = { skinMm: 1.2, clearanceMm: 0.25, pinMm: 4, rodMm: 1.75, magnetMm: [6, 3] as [number, number] };
const FORM = { reachMm: 8, thickMm: 2.4, clearanceMm: 0.25, skinMm: 1.2 };

describe('a wall from 2 to 12 mm', () => {
  const shapes = { plate: cutPlate, pipe: cutPipe, bowl: cutBowl };
  for (const [name, shape] of Object.entries(shapes)) {
    test(`${name}: the kind by the wall, and keys of that kind`, () => {
      const kinds = [2, 3, 4, 5.1, 6, 7.1, 8, 10, 12].map((wallMm) => {
        const { sections, ground } = shape(wallMm);
        const measures = sectionMeasures(sections[0]!, ground);
        expect(measures.wallMm).toBeCloseTo(wallMm, 0.5);
        const { kind, why } = jointKindFor(measures, SETTINGS);
        expect(why).toBeNull();
        if (kind === 'pins') return kind;
        const thin = kind as ThinKind;
        const { sites } = keySites(sitePlaces(sections[0]!, ground, { rooms: thinRooms(thin, 16, FORM) }), 60, []);
        const keys = thinKeys(sites, FORM, {
          kind: thin,
          heldBy: 'stops',
          carriers: 'in turn',
          pieces: sections[0]!.seam.pieces,
          ground,
        });
        expect(sites.length).toBeGreaterThan(1);
        expect(keys.length).toBe(sites.length);
        expect(new Set(keys.map(({ key }) => key.carrier)).size).toBe(2);
        expectSound(keys[0]!);
        return kind;
      });
      expect(kinds).toEqual(['tabs', 'tabs', 'tabs', 'laps', 'laps', 'pins', 'pins', 'pins', 'pins']);
    });
  }
});

describe('what does not fit says what would', () => {
  const wall = (wallMm: number | null, circleMm = wallMm ?? 0) => ({ wallMm, circleMm });

  test.each([
    [
      'tabs',
      wall(1),
      'A wall of 1.0 mm is thinner than the 1.2 mm that a tab wants to stand on; a wall of 1.2 mm would do.',
    ],
    [
      'strips',
      wall(2),
      'A wall of 2.0 mm leaves 1.1 mm under a seat of 0.8 mm; 1.2 mm is to stay; a wall of 2.1 mm would do.',
    ],
    [
      'laps',
      wall(2.5),
      'A wall of 2.5 mm leaves 0.9 mm for a lap beside 1.2 mm of skin and the clearance of 0.25 mm; a lap wants 1.5 mm; a wall of 3.1 mm would do.',
    ],
    [
      'pins',
      wall(null, 5.9),
      'The widest circle in the face is 5.9 mm across; a pin of 4.0 mm with 0.25 mm of clearance and 1.2 mm of wall round it wants 6.9 mm; a pin of 3.0 mm would do.',
    ],
  ] as const)('%s', (asked, measures, why) => {
    const choice = jointKindFor(measures, SETTINGS, asked);
    expect(choice.kind).not.toBe(asked);
    expect(choice.why).toContain(why);
  });

  test('what is asked for is had where it fits, and a usual kind in its place where not', () => {
    expect(jointKindFor(wall(3), SETTINGS, 'strips')).toMatchObject({ kind: 'strips', why: null });
    expect(jointKindFor(wall(3), SETTINGS, 'none')).toMatchObject({ kind: 'none', why: null });
    const other = jointKindFor(wall(2.5), SETTINGS, 'laps');
    expect(other.kind).toBe('tabs');
    expect(other.why).toMatch(/^Asked for laps\. .* It gets tabs\.$/);
  });

  test('the wall that is said to do does', () => {
    for (const kind of ['tabs', 'strips', 'laps'] as const) {
      const { why } = jointKindFor(wall(0.5), SETTINGS, kind);
      const would = Number(/a wall of ([\d.]+) mm would do/.exec(why!)![1]);
      expect(jointKindFor(wall(would), SETTINGS, kind)).toMatchObject({ kind, why: null });
      expect(jointKindFor(wall(would - 0.11), SETTINGS, kind).kind).not.toBe(kind);
    }
  });

  test('a solid face too slim for any pin has none', () => {
    expect(jointKindFor(wall(null, 2), SETTINGS)).toMatchObject({ kind: 'none' });
    expect(jointKindFor(wall(null, 5), SETTINGS)).toMatchObject({ kind: 'rods', why: null });
  });
});
