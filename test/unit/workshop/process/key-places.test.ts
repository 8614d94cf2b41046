// Every kind of key has its places named on both pieces, and only those of the keys that are there.
import { describe, expect, it } from 'vitest';
import type { Key } from '../../../../src/workshop/process/joints-record.ts';
import { fromKeyPlaces, keyPlaces } from '../../../../src/workshop/process/key-places.ts';
import { plainJoint } from '../../../support/plain-joints.ts';

const jointOf = (kind: Key['kind'], heldBy: Key['heldBy'] = 'seat') =>
  plainJoint({ id: 'A-B' }, { keys: [{ kind, heldBy, carrier: 'A', receiver: 'B' } as unknown as Key] });

describe('places of keys', () => {
  it.each([
    ['tab', 'stops', 'from under its tabs', 'from under its stops'],
    ['tab', 'pocket', 'from under its tabs', 'from under its stops and lips'],
    ['lap', 'seat', 'from under its laps', 'out of its seats'],
    ['pin', 'seat', 'from under its pins', 'out of its sockets'],
    ['strip', 'seat', 'out of its seats', 'out of its seats'],
    ['rod', 'seat', 'out of its holes', 'out of its holes'],
    ['magnet', 'seat', 'from under its bosses and out of its pockets', 'from under its bosses and out of its pockets'],
    ['screw', 'seat', 'from under its bosses and out of its holes', 'from under its bosses and out of its holes'],
  ] as const)('of a %s held by %s', (kind, heldBy, onCarrier, onReceiver) => {
    const joints = [jointOf(kind, heldBy), jointOf(kind, heldBy)];
    expect(fromKeyPlaces(keyPlaces(joints, 'A'), 'its')).toBe(onCarrier);
    expect(fromKeyPlaces(keyPlaces(joints, 'B'), 'its')).toBe(onReceiver);
  });

  it('of all pieces are named once each, and there are none without keys', () => {
    expect(keyPlaces([jointOf('tab', 'pocket'), jointOf('pin')])).toEqual({
      standing: ['tabs', 'stops', 'lips', 'pins'],
      hollow: ['sockets'],
    });
    expect(fromKeyPlaces(keyPlaces([plainJoint({ id: 'A-B' })]), 'all')).toBe('');
  });
});
