// What stands under the figure in the chapters Printing and Surface.
import { describe, expect, it } from 'vitest';
import { plateCaption } from '../../../../src/app/web/figure-words.ts';
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
});
