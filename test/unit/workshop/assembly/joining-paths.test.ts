// Loose strips go with the piece that carries them, and are tried on the way like the piece itself.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { box, together } from '../../../../src/mesh/builders.ts';
import type { Mesh } from '../../../../src/mesh/mesh.ts';
import { bodiesOf, pathMeetings } from '../../../../src/workshop/assembly/joining-paths.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import type { JointsRecord, Key } from '../../../../src/workshop/process/joints-record.ts';

/** Two walls, A over B; strips at x = -30 (carried by A) and x = 30 (by B), the seat in the other 0.2 mm wider or `short` too narrow. */
function strips(short: number): { record: JointsRecord; work: ChapterWork } {
  const seat = (x: number, low: number, high: number, gap: number): Mesh =>
    together([box([x - 12, 3, low], [x - 8 - gap, 6, high]), box([x + 8 + gap, 3, low], [x + 12, 6, high])]);
  const meshes: Record<string, Mesh> = {
    a: together([box([-60, 0, 0], [60, 3, 40]), seat(-30, 0.5, 12, 0.1), seat(30, 0.5, 12, 0.2 - short)]),
    b: together([box([-60, 0, -40], [60, 3, 0]), seat(-30, -12, -0.5, 0.2), seat(30, -12, -0.5, 0.1)]),
    left: box([-38, 3, -8], [-22, 5, 8]),
    right: box([22, 3, -8], [38, 5, 8]),
  };
  const key = (carrier: string, x: number): Key => ({ kind: 'strip', carrier, atMm: [x, 3, 0] }) as unknown as Key;
  const part = (mesh: string) => ({ id: mesh, name: mesh, seam: 'B-A', mesh, lengthMm: 16, volumeMm3: 512 });
  const record = {
    pieces: [
      { id: 'A', mesh: 'a' },
      { id: 'B', mesh: 'b' },
    ],
    joints: [{ seam: 'B-A', keys: [key('A', -30), key('B', 30)] }],
    loose: [part('left'), part('right'), { ...part('rod'), mesh: null }],
  } as unknown as JointsRecord;
  const work = { ...QUIET_WORK, meshes: { get: (id: string) => meshes[id]!, put: () => '' } } as unknown as ChapterWork;
  return { record, work };
}

const JOIN = { moving: ['A'], onto: ['B'], towards: [0, 0, -1], seams: ['B-A'] } as const;

describe('strips', () => {
  it('go with the piece that carries the key beside them', () => {
    const { record, work } = strips(0);
    const bodies = bodiesOf(record, work);
    expect(bodies.get('A')).toHaveLength(2);
    expect(bodies.get('B')).toHaveLength(2);
    expect(bodies.get('A')![1]).toBe(work.meshes.get('left'));
  });

  it('slide into a seat with clearance, and not into one half a millimetre too narrow', () => {
    const right = strips(0);
    expect(pathMeetings(JOIN, bodiesOf(right.record, right.work), right.work)).toEqual([]);
    const wrong = strips(0.5);
    const [meets] = pathMeetings(JOIN, bodiesOf(wrong.record, wrong.work), wrong.work);
    expect(meets).toMatchObject({ moving: 'A', fixed: 'B' });
    expect(meets!.depthMm).toBeGreaterThan(0.27);
    expect(meets!.depthMm).toBeLessThan(0.33);
    expect(meets!.beforeMm).toBeCloseTo(7.5, 9);
  });
});
