// What can be marked on the figure while the surface is read, what is marked, and from where it is seen.
import { describe, expect, it } from 'vitest';
import { aimAtMarks } from '../../../../src/app/web/figure-facing.ts';
import { hatchedIn } from '../../../../src/app/web/figure-shown.ts';
import { chosenMap, mapChoices, mapsOf, SURFACE_MAPS } from '../../../../src/app/web/surface-maps.ts';
import { fixtureFigure } from './fixture.ts';

const figure = fixtureFigure(0.3);
const [first, ...others] = figure.parts;
const ringed = { ...figure, parts: [{ ...first!, rings: new Float32Array(6) }, ...others] };
const mapped = {
  ...figure,
  parts: [
    ...others,
    {
      ...first!,
      rings: new Float32Array(6),
      filling: new Float32Array(6),
      reach: new Float32Array(6),
      warm: new Float32Array(),
    },
  ],
};

describe('maps of the surface', () => {
  it('are those that are known, even where there is nothing to mark', () => {
    expect(mapsOf(figure)).toEqual([]);
    expect(mapsOf(ringed)).toEqual(['rings']);
    expect(mapsOf(mapped)).toEqual([...SURFACE_MAPS]);
  });

  it('can be chosen where there is more than one, in their chapter alone', () => {
    expect(mapChoices('surface', ringed)).toEqual([]);
    expect(mapChoices('surface', mapped)).toEqual(['along', ...SURFACE_MAPS]);
    for (const chapter of ['front', 'model', 'printing', 'assembly']) expect(mapChoices(chapter, mapped)).toEqual([]);
  });

  it('go with the text until one is chosen', () => {
    expect(chosenMap('along', 'reach')).toBe('reach');
    expect(chosenMap('warm', 'reach')).toBe('warm');
  });

  it('are marked in their chapter; one that is not known is not', () => {
    for (const map of SURFACE_MAPS) {
      expect(hatchedIn('surface', mapped, map)).toBe(map);
      expect(hatchedIn('surface', ringed, map)).toBe(map === 'rings' ? 'rings' : 'none');
      expect(hatchedIn('pieces', mapped, map)).toBe('none');
      expect(hatchedIn('printing', mapped, map)).toBe('none');
    }
    expect(hatchedIn('surface', mapped)).toBe('rings');
  });
});

describe('the view of what is marked', () => {
  const front = { azimuthDeg: 0, elevationDeg: 14 };
  /** Upright strokes 100 mm from the middle, each at an azimuth: 0 is the front, 90 the wearer's left. */
  const marks = (...azimuthsDeg: readonly number[]) => {
    const round = Float32Array.from(
      azimuthsDeg.flatMap((deg) => {
        const [x, y] = [100 * Math.sin((deg * Math.PI) / 180), -100 * Math.cos((deg * Math.PI) / 180)];
        return [x, y, 0, x, y, 20];
      }),
    );
    const box = Float32Array.of(-120, -120, 0, 120, 120, 0);
    return [{ ...first!, positions: box, coarse: null, warm: round }];
  };

  it('turns to where it all lies', () => {
    expect(Math.abs(aimAtMarks(marks(180), 'warm', front)!.azimuthDeg)).toBeCloseTo(180, 6);
    expect(aimAtMarks(marks(95, 100, 110), 'warm', front)!.azimuthDeg).toBeCloseTo(105, 6);
    const { azimuthDeg } = aimAtMarks(marks(-60, -75, 180), 'warm', { ...front, azimuthDeg: 90 })!;
    expect([-60, -75]).toContain(azimuthDeg);
  });

  it('stays where enough is seen, and where there is nothing', () => {
    expect(aimAtMarks(marks(10, 180, 180), 'warm', front)).toBeNull();
    expect(aimAtMarks(marks(), 'warm', front)).toBeNull();
    expect(aimAtMarks([first!], 'reach', front)).toBeNull();
  });
});
