// What is to be looked at in the joints: one finding of a kind with all of its seams, and wishes that were not met.
import { describe, expect, it } from 'vitest';
import { jointFindings, whyUnmet } from '../../../../../src/workshop/pieces/joints/joint-findings.ts';
import type { Joint, JointKind } from '../../../../../src/workshop/process/joints-record.ts';
import type { Seam } from '../../../../../src/workshop/process/pieces-record.ts';
import { plainJoint } from '../../../../support/plain-joints.ts';

const seamAt = (id: string, x: number): Seam =>
  ({ id, lines: [], outlines: [Float32Array.of(x, 0, 0)] }) as unknown as Seam;
const tabs = (id: string, nominalMm: number, held = true): Joint =>
  plainJoint({ id }, { kind: 'tabs', play: { nominalMm, printedMm: 3 * nominalMm, held, atMm: [0, 0, 0] } });
const found = (joints: readonly Joint[], asked: readonly (JointKind | null)[] = []) =>
  jointFindings(
    joints,
    joints.map(({ seam }, i) => seamAt(seam, i)),
    joints.map((_joint, i) => asked[i] ?? null),
  );

describe('findings of the joints', () => {
  it('tell all loose seams in one, the worst first, alike ones together, at the worst', () => {
    const findings = found([
      tabs('A-B', 0.58),
      tabs('B-D', 10, false),
      tabs('C-E', 0.312),
      tabs('B-E', 0.308),
      tabs('D-F', 0.29),
    ]);
    expect(findings.map(({ code }) => code)).toEqual(['JOINT_LOOSE']);
    expect(findings[0]!.say).toBe(
      'Keys let 4 seams sit more than 0.3 mm off at the outer edge: B-D 10 mm or more; A-B 0.58 mm; C-E and B-E 0.31 mm. ' +
        'B-D is not held every way by what keys there are room for. Align these by eye too, or take keys closer together.',
    );
    expect(findings[0]!.where.atMm).toEqual([1, 0, 0]);
    expect(findings[0]!.measured).toBe(10);
  });

  it('say nothing of seams that sit true', () => {
    expect(found([tabs('A-B', 0.3)])).toEqual([]);
  });

  it('tell seams without keys in one, with their reasons', () => {
    const bare = ['A-B', 'A-C', 'B-C'].map((id, i) =>
      plainJoint({ id }, { why: i === 1 ? 'With keys A would fit no bed.' : 'There is no room' }),
    );
    expect(found(bare).map(({ say }) => say)).toEqual([
      'A-B and B-C have no key. There is no room. A-C has no key. With keys A would fit no bed.',
    ]);
  });

  it('tell of seams without keys how true the others hold them', () => {
    const play = { nominalMm: 0.16, printedMm: 0.57, held: true, atMm: [0, 0, 0] } as const;
    const bare = plainJoint({ id: 'A-E' }, { why: 'There is no room.', play });
    expect(found([bare, tabs('A-B', 0.2)]).map(({ say }) => say)).toEqual([
      'A-E has no key. There is no room. The seams that close at the same time hold A-E within 0.16 mm.',
    ]);
  });

  it('are silent of a seam that was asked to have none, and speak of a wish that was not met', () => {
    const none = plainJoint({ id: 'A-B' }, { why: 'It was asked to have none.' });
    expect(found([none], ['none'])).toEqual([]);
    const instead = { ...tabs('A-C', 0.2), why: whyUnmet('magnets', 'tabs', null) };
    const findings = found([none, instead], ['none', 'magnets']);
    expect(findings.map(({ code, say }) => `${code} ${say}`)).toEqual([
      'JOINT_UNMET A-C: Asked for magnets. No place along this seam has room for them. It gets tabs.',
    ]);
  });
});

describe('why a wish was not met', () => {
  it.each([
    [null, 'tabs', null, null],
    ['tabs', 'tabs', null, null],
    [
      'magnets',
      'tabs',
      'Asked for magnets. The wall falls away. It gets tabs.',
      'Asked for magnets. The wall falls away. It gets tabs.',
    ],
    ['laps', 'tabs', null, 'Asked for laps. No place along this seam has room for them. It gets tabs.'],
    ['screws', 'none', 'With keys A would fit no bed', 'Asked for screws. With keys A would fit no bed.'],
  ] as const)('%s, got %s, because %j', (asked, got, why, says) => {
    expect(whyUnmet(asked, got, why)).toBe(says);
  });
});
