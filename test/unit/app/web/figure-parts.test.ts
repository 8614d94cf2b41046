import { describe, expect, it } from 'vitest';
import type { FigureData } from '../../../../src/app/api/figure-codec.ts';
import { labelAnchors } from '../../../../src/app/web/figure-anchors.ts';
import { partShape, poseMatrix, posesOf } from '../../../../src/app/web/figure-arrangement.ts';
import { drawnCreases } from '../../../../src/app/web/figure-creases.ts';
import { cornerGeometry } from '../../../../src/app/web/figure-geometry.ts';
import { arrangementOf } from '../../../../src/app/web/figure-shown.ts';
import { waysBetween } from '../../../../src/app/web/figure-ways.ts';
import { figureWords, labelName } from '../../../../src/app/web/figure-words.ts';
import { fixtureFigure } from './fixture.ts';

const figure = fixtureFigure();
const shapes = figure.parts.map(partShape);

describe('the arrangement', () => {
  it('follows the chapter', () => {
    expect(['front', 'model', 'wearer', 'pieces', 'printing'].map((name) => arrangementOf(name, figure))).toEqual([
      'apart',
      'together',
      'together',
      'apart',
      'laid',
    ]);
  });

  it('follows the joins in their chapters, where there are any', () => {
    expect(arrangementOf('assembly', figure)).toBe('apart');
    const joined = {
      ...figure,
      parts: figure.parts.map((part, i) => ({ ...part, joined: { shiftMm: [0, 0, 10 * i], joins: [i] } })),
    } as FigureData;
    expect(['joints', 'assembly', 'pieces'].map((name) => arrangementOf(name, joined))).toEqual([
      'by-joins',
      'by-joins',
      'apart',
    ]);
    const [, pose] = posesOf(joined.parts.map(partShape), 'by-joins', 0.5);
    expect(pose!.middle.z - shapes[1]!.middle.z).toBeCloseTo(5, 9);
    expect(labelName(joined.parts[1]!, 'by-joins')).toMatch(/: join 1$/);
    expect(labelName(joined.parts[1]!, 'apart')).toBe(joined.parts[1]!.name);
    expect(labelName({ ...joined.parts[1]!, joined: { shiftMm: [0, 0, 0], joins: [] } }, 'by-joins')).toMatch(
      /: stays$/,
    );
  });

  it('leaves pieces where they are when they stand together', () => {
    for (const [index, pose] of posesOf(shapes, 'together', 1).entries())
      expect(poseMatrix(pose, shapes[index]!).elements.map((e) => Math.round(e * 1e6) / 1e6)).toEqual([
        1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1,
      ]);
  });

  it('lays every piece on the ground, none inside another', () => {
    const boxes = posesOf(shapes, 'laid', 1).map((pose, index) => {
      const matrix = poseMatrix(pose, shapes[index]!).elements;
      const { positions } = figure.parts[index]!;
      const low = [Infinity, Infinity, Infinity];
      const high = [-Infinity, -Infinity, -Infinity];
      for (let i = 0; i < positions.length; i += 3)
        for (let k = 0; k < 3; k++) {
          const at =
            positions[i]! * matrix[k]! +
            positions[i + 1]! * matrix[4 + k]! +
            positions[i + 2]! * matrix[8 + k]! +
            matrix[12 + k]!;
          low[k] = Math.min(low[k]!, at);
          high[k] = Math.max(high[k]!, at);
        }
      return { low, high };
    });
    for (const { low } of boxes) expect(low[2]).toBeCloseTo(0, 3);
    for (const [i, a] of boxes.entries())
      for (const b of boxes.slice(i + 1))
        expect([0, 1].some((k) => a.high[k]! < b.low[k]! || b.high[k]! < a.low[k]!)).toBe(true);
  });
});

describe('strokes', () => {
  it('joins every pair of pieces that touch by one or two lines', () => {
    const pairs = new Set(waysBetween(figure.parts).map(({ one, other }) => `${one}${other}`));
    expect(pairs.has('01')).toBe(true);
    expect(pairs.has('23')).toBe(true);
  });

  it('drops crumbs and creases that run along a seam, keeps the others', () => {
    const long = [0, 0, 0, 20, 0, 0];
    const crumb = [50, 0, 0, 52, 0, 0];
    const along = [0, 50, 0, 20, 50, 0];
    const seam = [0, 50.4, 0, 20, 50.4, 0];
    const kept = drawnCreases(Float32Array.from([...long, ...crumb, ...along]), Float32Array.from(seam));
    expect([...kept]).toEqual(long);
  });
});

describe('corners', () => {
  it('are smooth over a flat edge and sharp over a right angle', () => {
    const positions = Float32Array.from([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0, 0, 0, 1, 1, 0, 1]);
    const triangles = Uint32Array.from([0, 1, 2, 0, 2, 3, 1, 0, 5]);
    const { normals } = cornerGeometry({ positions, triangles });
    expect([...normals.slice(0, 3)]).toEqual([0, 0, 1]);
    expect([...normals.slice(18, 21)]).toEqual([0, 1, 0]);
  });
});

describe('labels', () => {
  it('end in the middle of what is seen of a piece', () => {
    const [width, height] = [20, 10];
    const pixels = new Float32Array(width * height * 4);
    for (let y = 2; y < 8; y++) for (let x = 3; x < 15; x++) pixels.set([1, x, y, 0], (y * width + x) * 4);
    const [anchor] = labelAnchors(pixels, width, height);
    expect(anchor?.part).toBe(0);
    expect(anchor?.at[1]).toBeGreaterThanOrEqual(4);
    expect(anchor?.at[1]).toBeLessThanOrEqual(5);
  });

  it('are told in words too', () => {
    expect(figureWords(figure, 'mm')).toContain('5 pieces: A, crown, left; B, crown, right');
  });
});
