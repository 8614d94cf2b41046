// Which seams close together: those of one join, for a cut may close in more than one.
import { expect, it } from 'vitest';
import { closingSeams } from '../../../../../src/workshop/pieces/joints/closing-seams.ts';
import type { Join } from '../../../../../src/workshop/process/joints-record.ts';

const join = (moving: string, onto: string, seams: readonly string[]): Join => ({
  moving: [moving],
  onto: [...onto],
  towards: [0, 0, 1],
  seams,
});

it('seams close with all of their join, and a seam of none by itself', () => {
  const seams = ['A-B', 'B-C', 'B-C.2', 'A-C', 'D-E'].map((id) => ({ id }));
  const order = [join('C', 'B', ['B-C', 'B-C.2']), join('A', 'BC', ['A-B', 'A-C'])];
  expect(closingSeams(seams, order)).toEqual([[0, 3], [1, 2], [1, 2], [0, 3], [4]]);
});
