// Names in the figure: the longest seams with what hides them, and areas kept clear with their outline on the surface.
import { describe, expect, it } from 'vitest';
import { figureNames } from '../../../../src/app/worker/figure-names.ts';
import type { BookResults } from '../../../../src/workshop/book/graph.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import { blockMesh } from '../../../support/pieces/block-mesh.ts';

const mesh = blockMesh([100, 80, 60]);
const top = Math.max(...mesh.positions.filter((_, i) => i % 3 === 2));
const work = { meshes: { get: () => mesh } } as unknown as ChapterWork;
const none = { creaseMm: 0, frontMm: 0, sidesMm: 0, backMm: 0, aboveMm: 0, unseenMm: 0 };
const seam = (id: string, outerMm: number, places: object) => ({
  id,
  pieces: id.split('-'),
  outerMm,
  places: { ...none, ...places },
  lines: [{ points: Float32Array.of(0, 0, 0, outerMm, 0, 0, 2 * outerMm, 0, 0) }],
});
const results = (seams: readonly object[]): BookResults =>
  ({
    wearer: { state: 'computed', record: { mesh: 'shell', scale: 2 } },
    pieces: {
      state: 'computed',
      record: {
        seams,
        pieces: [{ id: 'A', sourceTri: Int32Array.from({ length: mesh.triangles.length / 3 }, (_, i) => i) }],
      },
    },
  }) as unknown as BookResults;

describe('names in the figure', () => {
  it('say of each seam what hides most of it', () => {
    const names = figureNames(
      results([
        seam('A-B', 100, { creaseMm: 95, backMm: 5 }),
        seam('A-C', 90, { creaseMm: 45, sidesMm: 45 }),
        seam('B-C', 80, { frontMm: 80 }),
        seam('C-D', 70, { unseenMm: 65, backMm: 5 }),
      ]),
      [],
      work,
    );
    expect(names.map(({ name, says, piece }) => [name, says, piece])).toEqual([
      ['A-B', 'in a crease', 'A'],
      ['A-C', 'half in a crease', 'A'],
      ['B-C', 'open', 'B'],
      ['C-D', 'out of sight', 'C'],
    ]);
    expect(names[0]!.atMm).toEqual([100, 0, 0]);
  });

  it('are those of the longest seams where there are many', () => {
    const many = Array.from({ length: 20 }, (_, i) => seam(`A-${i}`, 10 + i, { frontMm: 10 + i }));
    const names = figureNames(results(many), [], work).map(({ name }) => name);
    expect(names).toHaveLength(12);
    expect(names).not.toContain('A-0');
  });

  it('lay the outline of an area on the surface at worn size', () => {
    // at half the worn size, 4 mm over the top
    const outline = [
      [-10, -10],
      [10, -10],
      [10, 10],
      [-10, 10],
    ].map(([x, y]) => ({
      atMm: [x!, y!, top / 2 + 2] as [number, number, number],
      normal: [0, 0, 1] as [number, number, number],
    }));
    const [area] = figureNames(results([]), [{ name: 'Badge', outline }], work);
    expect(area).toMatchObject({ of: 'area', name: 'Badge', says: 'kept clear', piece: 'A' });
    const line = area!.outline;
    expect(line.length / 6).toBe(4 * 14);
    for (let i = 2; i < line.length; i += 3) expect(line[i]).toBeCloseTo(top, 1);
    let length = 0;
    for (let i = 0; i < line.length; i += 6)
      length += Math.hypot(line[i + 3]! - line[i]!, line[i + 4]! - line[i + 1]!, line[i + 5]! - line[i + 2]!);
    expect(Math.abs(length - 160)).toBeLessThan(1);
  });
});
