// What the page does with lists of the build, and with a plane that is pulled.
import { describe, expect, it } from 'vitest';
import { addEntry, exchangeEntry, removeEntry } from '../../../../src/app/web/list-entries.ts';
import { pulledPlane } from '../../../../src/app/web/pulled-plane.ts';
import type { Editing } from '../../../../src/app/web/reader.ts';
import { angleDeg, dot } from '../../../../src/geometry/three-by-three.ts';

function editingOf(list: unknown[]): Editing & { readonly list: () => unknown } {
  let now: unknown = list;
  return {
    valueAt: () => now,
    set: (_path, value) => {
      now = value;
    },
    problemAt: () => undefined,
    list: () => now,
  };
}
const seam = (name: string, at: number) => ({ name, points: [{ atMm: [at, 0, 0] }] });

describe('lists of the build', () => {
  it('take an entry once, whatever it is called by now', () => {
    const editing = editingOf([seam('Brow', 1)]);
    addEntry(editing, 'list', seam('Seam 1', 1), []);
    expect(editing.list()).toHaveLength(1);
    addEntry(editing, 'list', seam('Seam 2', 2), []);
    expect(editing.list()).toHaveLength(2);
  });

  it('lose the entry meant: by what it is, else by where it stood', () => {
    const editing = editingOf([seam('Brow', 1), seam('Nape', 2), seam('Ears', 3)]);
    removeEntry(editing, 'list', { entry: seam('another name', 2), index: 0 }, []);
    expect(editing.list()).toEqual([seam('Brow', 1), seam('Ears', 3)]);
    // moved since the text was set
    removeEntry(editing, 'list', { entry: seam('Ears', 9), index: 1 }, []);
    expect(editing.list()).toEqual([seam('Brow', 1)]);
    removeEntry(editing, 'list', { entry: seam('Ears', 9), index: 1 }, []);
    expect(editing.list()).toHaveLength(1);
  });

  it('hold one of several choices at most, and leave others alone', () => {
    const [one, other] = [
      { at: 1, machine: 'a' },
      { at: 1, machine: 'b' },
    ];
    const editing = editingOf([{ at: 2, machine: 'a' }, one]);
    exchangeEntry(editing, 'list', { gone: [one, other], come: other }, []);
    expect(editing.list()).toEqual([{ at: 2, machine: 'a' }, other]);
    exchangeEntry(editing, 'list', { gone: [one, other], come: null }, []);
    expect(editing.list()).toEqual([{ at: 2, machine: 'a' }]);
  });
});

describe('a plane that is pulled', () => {
  const plane = { normal: [0, 0, 1] as const, offsetMm: 100 };
  const by = { at: [0, -150, 100], middle: [0, 0, 155] } as const;

  it('moves along its normal', () => {
    expect(pulledPlane(plane, { ...by, mm: 7, how: 'moves' })).toEqual({ normal: [0, 0, 1], offsetMm: 107 });
  });

  it('leans about the middle so that the point taken follows', () => {
    const leaned = pulledPlane(plane, { ...by, mm: 30, how: 'leans' });
    // the pivot below the middle stays on it, and in front it has gone up by about 30 mm
    expect(dot(leaned.normal, [0, 0, 100])).toBeCloseTo(leaned.offsetMm, 9);
    const front = (leaned.offsetMm - leaned.normal[1] * -150) / leaned.normal[2];
    expect(front).toBeCloseTo(130, 6);
    expect(angleDeg(leaned.normal, plane.normal)).toBeCloseTo((Math.atan2(30, 150) * 180) / Math.PI, 9);
  });

  it('does not lean about the place it is held at', () => {
    expect(pulledPlane(plane, { at: [0, 0, 100], middle: [0, 0, 155], mm: 9, how: 'leans' })).toEqual(plane);
  });
});
