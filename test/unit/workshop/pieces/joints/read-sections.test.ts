import { describe, expect, test } from 'vitest';
import { box, tube } from '../../../../../src/mesh/builders.ts';
import { innerLines, placesAlong } from '../../../../../src/workshop/pieces/joints/inner-lines.ts';
import { wallAlong } from '../../../../../src/workshop/pieces/joints/key-ground.ts';
import { type SeamSection, SIDE_OUTER, SIDE_SEAM } from '../../../../../src/workshop/pieces/joints/seam-section.ts';
import { cutInTwo, cutShell } from '../../../../support/pieces/cut-sections.ts';
import { cutBowl, cutPipe, cutPlate } from '../../../../support/pieces/walled-shapes.ts';

function lengths({ loops }: SeamSection): number[] {
  const sum = [0, 0, 0];
  for (const { flat, sides } of loops)
    sides.forEach((side, i) => {
      const j = (i + 1) % sides.length;
      sum[side]! += Math.hypot(flat[j * 2]! - flat[i * 2]!, flat[j * 2 + 1]! - flat[i * 2 + 1]!);
    });
  return sum;
}

function areaOf({ loops }: SeamSection): number {
  let twice = 0;
  for (const { flat } of loops)
    for (let i = 0, j = flat.length - 2; i < flat.length; j = i, i += 2)
      twice += flat[j]! * flat[i + 1]! - flat[i]! * flat[j + 1]!;
  return twice / 2;
}

describe('sections of seams', () => {
  test('a pipe cut across has an outer and an inner ring, the face on their left', () => {
    const [section] = cutPipe(4).sections;
    expect(section!.loops.map(({ sides }) => new Set(sides).size)).toEqual([1, 1]);
    const [outer, inner, seam] = lengths(section!);
    // sides of a polygon of 96 corners
    const round = (radius: number) => 192 * radius * Math.sin(Math.PI / 96);
    expect(outer).toBeCloseTo(round(60), 3);
    expect(inner).toBeCloseTo(round(56), 3);
    expect(seam).toBe(0);
    expect(areaOf(section!)).toBeCloseTo(section!.seam.areaMm2, 2);
    expect(section!.wallMm).toBeCloseTo(4, 1);
    expect(section!.n).toEqual(section!.seam.plane.normal);
  });

  test('a plate has one inner side; ends of it are outside', () => {
    const [section] = cutPlate(3).sections;
    const [outer, inner] = lengths(section!);
    expect(inner).toBeCloseTo(80, 4);
    expect(outer).toBeCloseTo(86, 4);
    expect(section!.wallMm).toBeCloseTo(3, 1);
    expect(innerLines(section!).map(({ lengthMm, closed }) => [Math.round(lengthMm), closed])).toEqual([[80, false]]);
  });

  test('where a seam ends on another its outline says so', () => {
    const shell = tube({ outerMm: 60, wallMm: 4, heightMm: 120 }, 96, 8);
    const { sections } = cutShell(
      shell,
      { plane: { normal: [0, 0, 1], offsetMm: 60.3 }, above: { plane: { normal: [1, 0, 0], offsetMm: 0.2 } } },
      ([x, y, z]) => Math.hypot(x, y) > 58 || Math.abs(z - 60) > 59.9,
    );
    expect(sections.length).toBe(4);
    for (const section of sections) {
      const [outer, inner, seam] = lengths(section);
      expect(outer).toBeCloseTo(section.seam.outerMm, 2);
      expect(inner).toBeCloseTo(section.seam.innerMm, 2);
      // both ends of half a ring, or the lower end of an upright cut
      expect(seam).toBeGreaterThan(3.9);
      expect(section.loops.some(({ sides }) => sides.includes(SIDE_SEAM))).toBe(true);
      expect(innerLines(section).every(({ closed }) => !closed)).toBe(true);
    }
  });

  test('a cut aslant through a wall is wider than the wall, which is measured straight through', () => {
    const cut = cutBowl(4, { normal: [0, 0, 1], offsetMm: 55 });
    const [section] = cut.sections;
    expect(section!.wallMm).toBeGreaterThan(5);
    const places = innerLines(section!).flatMap((line) => placesAlong(line, 2));
    expect(wallAlong(cut.ground, places)).toBeCloseTo(4, 1);
  });

  test('without an inner side the wall is the widest circle', () => {
    const [section] = cutInTwo(box([0, 0, 0], [30, 12, 60]), { normal: [0, 0, 1], offsetMm: 20 }, () => true).sections;
    expect(section!.wallMm).toBeCloseTo(12, 1);
    expect(section!.loops[0]!.sides.every((side) => side === SIDE_OUTER)).toBe(true);
  });
});
