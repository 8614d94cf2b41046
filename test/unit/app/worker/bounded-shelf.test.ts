import { mkdtempSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openBoundedShelf } from '../../../../src/app/worker/bounded-shelf.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'helmwright-shelf-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Makes a file as old as that, so that no test waits for a clock. */
const age = (key: string, minutes: number): void => {
  const then = new Date(Date.now() - minutes * 60_000);
  utimesSync(join(folder, key), then, then);
};

describe('a shelf with an end', () => {
  it('gives back what was put, also to whoever opens it later', () => {
    openBoundedShelf(folder, { mostBytes: 100 }).put('a', Uint8Array.of(1, 2, 3));
    const again = openBoundedShelf(folder, { mostBytes: 100 });
    expect([...again.get('a')!]).toEqual([1, 2, 3]);
    expect(again.get('b')).toBeUndefined();
  });

  it('drops what was asked for the longest ago', () => {
    const shelf = openBoundedShelf(folder, { mostBytes: 100 });
    for (const [key, minutes] of [
      ['a', 30],
      ['b', 20],
      ['c', 10],
    ] as const) {
      shelf.put(key, new Uint8Array(30));
      age(key, minutes);
    }
    shelf.get('a');
    shelf.put('d', new Uint8Array(30));
    expect(readdirSync(folder).sort()).toEqual(['a', 'c', 'd']);
  });

  it('drops what is too much when it is opened with a smaller limit', () => {
    for (const [key, minutes] of [
      ['a', 30],
      ['b', 20],
      ['c', 10],
    ] as const) {
      openBoundedShelf(folder, { mostBytes: 100 }).put(key, new Uint8Array(30));
      age(key, minutes);
    }
    openBoundedShelf(folder, { mostBytes: 50 });
    expect(readdirSync(folder)).toEqual(['c']);
  });

  it('leaves files alone that it has not put there', () => {
    writeFileSync(join(folder, 'of somebody else.txt'), 'x'.repeat(1000));
    openBoundedShelf(folder, { mostBytes: 50 });
    expect(readdirSync(folder)).toEqual(['of somebody else.txt']);
  });

  it('takes no key that leads out of the folder', () => {
    const shelf = openBoundedShelf(folder, { mostBytes: 50 });
    for (const key of ['../a', 'a/b', '', '.', 'x'.repeat(200)])
      expect(() => shelf.put(key, new Uint8Array(1))).toThrow('not a key');
  });

  it('never holds more than its limit, and what it gives is what was put', () => {
    const steps = fc.array(fc.record({ key: fc.integer({ min: 0, max: 12 }), read: fc.boolean() }), { maxLength: 60 });
    fc.assert(
      fc.property(steps, fc.integer({ min: 1, max: 200 }), (all, mostBytes) => {
        const own = mkdtempSync(join(folder, 'run-'));
        const shelf = openBoundedShelf(own, { mostBytes });
        for (const { key, read } of all) {
          const bytes = new Uint8Array(5 + 7 * key).fill(key);
          if (read) {
            const found = shelf.get(`k${key}`);
            if (found !== undefined) expect([...found]).toEqual([...bytes]);
          } else shelf.put(`k${key}`, bytes);
          const held = readdirSync(own).reduce((sum, name) => sum + 5 + 7 * Number(name.slice(1)), 0);
          expect(held).toBeLessThanOrEqual(mostBytes);
        }
      }),
      { numRuns: 40 },
    );
  });
});
