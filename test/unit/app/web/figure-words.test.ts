// What stands under the figure in the chapters Printing and Surface.
import { describe, expect, it } from 'vitest';
import { plateCaption } from '../../../../src/app/web/figure-words.ts';
import { SURFACE_MAPS } from '../../../../src/app/web/surface-maps.ts';
import { fixtureFigure } from './fixture.ts';

const figure = fixtureFigure(0.3);
const scarred = {
  ...figure,
  parts: figure.parts.map((part) => ({ ...part, scars: Float32Array.of(0, 0, 0, 1, 0, 0) })),
};

describe('words under the figure', () => {
  it('tell of support only where there is some, and only in its chapter', () => {
    expect(plateCaption('printing', scarred)).toContain('where support holds it');
    expect(plateCaption('printing', figure)).not.toContain('support');
    expect(plateCaption('joints', scarred)).not.toContain('support');
  });

  it('tell of rings where the surface is looked at', () => {
    const ringed = { ...figure, parts: figure.parts.map((part) => ({ ...part, rings: new Float32Array(6) })) };
    expect(plateCaption('surface', ringed)).toContain('where they will show as rings');
    expect(plateCaption('surface', figure)).not.toContain('rings');
  });

  it('tell what is marked on the surface, and where there is nothing to mark', () => {
    const lines = new Float32Array(6);
    const parts = figure.parts.map((part) => ({ ...part, rings: lines, filling: lines, reach: lines }));
    const mapped = { ...figure, parts: [{ ...parts[0]!, warm: new Float32Array() }, ...parts.slice(1)] };
    const words = SURFACE_MAPS.map((map) => plateCaption('surface', mapped, map));
    expect(new Set(words).size).toBe(4);
    expect(words[1]).toContain('filler goes where support has marked it');
    expect(words[2]).toContain('folded paper');
    expect(words[3]).toContain('nowhere does a sander get');
    const [first, ...others] = mapped.parts;
    const warm = { ...mapped, parts: [{ ...first!, warm: lines }, ...others] };
    expect(plateCaption('surface', warm, 'warm')).toContain('crossed red');
    for (const map of SURFACE_MAPS) expect(plateCaption('printing', warm, map)).toBe(plateCaption('printing', figure));
  });
});
