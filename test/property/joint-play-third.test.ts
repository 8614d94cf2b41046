// What contacts say of the play of a joint against moving the meshes until they meet: the third five of twenty joints.
import { describe } from 'vitest';
import { expectPlayAsMoved } from '../support/joints/play-as-moved.ts';

describe.each(Array.from({ length: 5 }, (_, i) => i + 11))('joint of seed %i', expectPlayAsMoved);
