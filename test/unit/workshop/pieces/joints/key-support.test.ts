import { expect, test } from 'vitest';
import { QUIET_WORK } from '../../../../../src/base/work.ts';
import { box, together } from '../../../../../src/mesh/builders.ts';
import { keySupport } from '../../../../../src/workshop/pieces/joints/key-support.ts';

const post = box([0, 0, 0], [10, 10, 50]);
const SIDEWAYS = [0, 0, 1, 0, 1, 0, -1, 0, 0, 0, 0, 0];
const UPRIGHT = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0];

test('is the space under what a key brings, down to the bed or to what lies below', () => {
  const tab = box([10, 0, 20], [18, 10, 23]);
  expect(keySupport(post, together([post, tab]), UPRIGHT, QUIET_WORK)).toBeCloseTo(8 * 10 * 20, 6);
  const shelf = box([10, 0, 0], [18, 10, 5]);
  const shelved = together([post, shelf]);
  expect(keySupport(shelved, together([shelved, tab]), UPRIGHT, QUIET_WORK)).toBeCloseTo(8 * 10 * 15, 6);
});

test('is none for a key that lies on the bed or stands up', () => {
  const tab = box([0, 0, 50], [10, 10, 58]);
  expect(keySupport(post, together([post, tab]), UPRIGHT, QUIET_WORK)).toBeCloseTo(0, 9);
  expect(keySupport(post, together([post, tab]), SIDEWAYS, QUIET_WORK)).toBeCloseTo(0, 9);
});
