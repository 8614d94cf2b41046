// Faces by how they are dressed: only keys that the piece itself carries keep a plate off its face.
import { describe, expect, it } from 'vitest';
import type { Key } from '../../../../src/workshop/process/joints-record.ts';
import { isBowed, matingFaces } from '../../../../src/workshop/process/mating-faces.ts';
import { plainJoint } from '../../../support/plain-joints.ts';

const seam = (id: string, bowMm = 0) => ({ id, pieces: id.split('-') as [string, string], bowMm });
const key = (kind: Key['kind'], carrier: string): Key => ({ kind, carrier }) as unknown as Key;

describe('mating faces', () => {
  const seams = [seam('A-B'), seam('A-C'), seam('A-D', 2), seam('A-E')];
  const joints = [
    plainJoint({ id: 'A-B' }, { keys: [key('tab', 'A'), key('tab', 'B'), key('tab', 'A')] }),
    plainJoint({ id: 'A-C' }, { keys: [key('pin', 'C')] }),
    plainJoint({ id: 'A-D' }, { keys: [key('lap', 'A')] }),
    // set in when the face is dressed
    plainJoint({ id: 'A-E' }, { keys: [key('rod', 'A'), key('magnet', 'A'), key('strip', 'A')] }),
  ];
  const ids = (chosen: readonly { readonly id: string }[]): string[] => chosen.map(({ id }) => id);

  it.each([
    ['A', { plain: ['A-C', 'A-E'], keyed: ['A-B'], keys: ['tabs'], bowed: ['A-D'] }],
    ['B', { plain: [], keyed: ['A-B'], keys: ['tabs'], bowed: [] }],
    ['C', { plain: [], keyed: ['A-C'], keys: ['pins'], bowed: [] }],
    ['D', { plain: [], keyed: [], keys: [], bowed: ['A-D'] }],
  ])('of %s', (piece, found) => {
    const { plain, keyed, keys, bowed } = matingFaces(piece, seams, joints);
    expect({ plain: ids(plain), keyed: ids(keyed), keys, bowed: ids(bowed) }).toEqual(found);
  });

  it('are flat up to a twentieth of a millimetre', () =>
    expect([0, 0.049, 0.05, 3].map((bowMm) => isBowed({ bowMm }))).toEqual([false, false, true, true]));
});
