// Files and folders appear whole, replace one another in one step, and leave nothing of a failure behind.
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { sweepOldStages, sweepStages, writeWholeFile, writeWholeFolder } from '../../../src/store/whole-files.ts';

const folder = mkdtempSync(join(tmpdir(), 'helmwright-files-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('files and folders', () => {
  const kit = new Map<string, Uint8Array | string>([
    ['a.txt', 'a'],
    ['deep/b.bin', new Uint8Array([1, 2])],
  ]);

  it('appear whole, replace an older kit, and leave a stranger alone', () => {
    const dir = join(folder, 'kit');
    expect(writeWholeFolder(dir, kit, () => false)).toBe('written');
    expect(readFileSync(join(dir, 'deep/b.bin'))).toEqual(Buffer.from([1, 2]));
    expect(writeWholeFolder(dir, new Map([['c.txt', 'c']]), () => false)).toBe('in the way');
    expect(existsSync(join(dir, 'a.txt'))).toBe(true);
    expect(writeWholeFolder(dir, new Map([['c.txt', 'c']]), () => true)).toBe('written');
    expect(readdirSync(dir)).toEqual(['c.txt']);
  });

  it('leave nothing when a write fails half way', () => {
    const dir = join(folder, 'broken');
    const clash = new Map<string, string>([
      ['x', 'a file'],
      ['x/y', 'inside a file'],
    ]);
    expect(() => writeWholeFolder(dir, clash, () => true)).toThrow();
    expect(existsSync(dir)).toBe(false);
    expect(readdirSync(folder).filter((name) => name.startsWith('.helmwright-part'))).toEqual([]);
  });

  it('sweep what a dead process left, and only that', () => {
    const root = join(folder, 'stages');
    mkdirSync(root);
    writeFileSync(join(root, '.helmwright-part-999999999-dead'), 'x');
    writeFileSync(join(root, `.helmwright-part-${process.pid}-alive`), 'x');
    writeFileSync(join(root, 'mine.txt'), 'x');
    sweepStages(root);
    expect(readdirSync(root).sort()).toEqual([`.helmwright-part-${process.pid}-alive`, 'mine.txt']);
  });

  it('of other machines are swept only when nobody has written to them for long', () => {
    const root = join(folder, 'shared');
    mkdirSync(root);
    for (const name of ['.helmwright-part-999999999-new', '.helmwright-part-999999999-old', 'mine.txt'])
      writeFileSync(join(root, name), 'x');
    for (const name of ['.helmwright-part-999999999-old', 'mine.txt'])
      utimesSync(join(root, name), new Date(0), new Date(0));
    sweepOldStages(root, 3600e3);
    expect(readdirSync(root).sort()).toEqual(['.helmwright-part-999999999-new', 'mine.txt']);
  });

  it('are replaced in one step', () => {
    const path = join(folder, 'one.txt');
    writeWholeFile(path, 'old');
    writeWholeFile(path, 'new');
    expect(readFileSync(path, 'utf8')).toBe('new');
  });
});
