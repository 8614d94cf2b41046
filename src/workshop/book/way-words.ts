// Which way a piece travels, as one says it at the bench with the helm standing in front, its face to the maker.
import type { Vec3 } from '../../mesh/mesh.ts';

/** Of a direction parts smaller than this (sine of 15 degrees) are not told. */
const TOLD = 0.26;

const AXES: readonly (readonly [string, string])[] = [
  ['to the wearer’s left', 'to the wearer’s right'],
  ['to the back', 'to the front'],
  ['up', 'down'],
];

/** "down", "to the back and up": the larger part first. Model space, unit vector. */
export function wayWords(towards: Vec3): string {
  return AXES.map((words, axis) => ({ part: towards[axis as 0 | 1 | 2], words }))
    .filter(({ part }) => Math.abs(part) >= TOLD)
    .sort((one, other) => Math.abs(other.part) - Math.abs(one.part))
    .slice(0, 2)
    .map(({ part, words }) => words[part > 0 ? 0 : 1])
    .join(' and ');
}
