// What is put into the store comes back the same, from the same process or another.
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { fastMeshId, openMeshStore, openRecords } from '../../../src/app/worker/engine-shelves.ts';
import { done } from '../../../src/base/findings.ts';
import { meshId } from '../../../src/mesh/digest.ts';
import { openFileShelf, openFileStore } from '../../../src/store/file-store.ts';
import { sweepStages, writeWholeFile, writeWholeFolder } from '../../../src/store/whole-files.ts';
import { quickHelm } from '../../support/quick-helm.ts';

const folder = mkdtempSync(join(tmpdir(), 'helmwright-store-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('meshes and records on the shelf', () => {
  const mesh = quickHelm();

  it('come back to the last bit in another run', () => {
    const id = openMeshStore(openFileShelf(join(folder, 'cache'))).put(mesh);
    const again = openMeshStore(openFileShelf(join(folder, 'cache'))).get(id);
    expect(again.positions).toEqual(mesh.positions);
    expect(again.triangles).toEqual(mesh.triangles);
  });

  it('have the name the engine gives them', () => {
    expect(fastMeshId(mesh)).toBe(meshId(mesh));
  });

  it('come back also when only a few bytes may stay in memory', () => {
    const store = openMeshStore(openFileShelf(join(folder, 'small')), 1000);
    const ids = [1, 2, 3].map((wallMm) => store.put(quickHelm({ wallMm })));
    for (const [index, id] of ids.entries())
      expect(store.get(id).positions).toEqual(quickHelm({ wallMm: index + 1 }).positions);
  });

  it('keep typed arrays in records', () => {
    openRecords(openFileShelf(join(folder, 'cache'))).put('key', done({ outline: Float32Array.of(1, 2, 3) }));
    const again = openRecords(openFileShelf(join(folder, 'cache'))).get('key');
    expect(again).toEqual(done({ outline: Float32Array.of(1, 2, 3) }));
  });
});

describe('builds in the store', () => {
  it('refuse names that would leave the folder', () => {
    const store = openFileStore(join(folder, 'data'));
    for (const name of ['../outside', '/etc/passwd', 'a/b', '', '.']) {
      expect(store.getBuild(name)).toBeUndefined();
      expect(() => store.putModel(name, new Uint8Array(1))).toThrow(/not a key/);
    }
  });
});

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

  it('are replaced in one step', () => {
    const path = join(folder, 'one.txt');
    writeWholeFile(path, 'old');
    writeWholeFile(path, 'new');
    expect(readFileSync(path, 'utf8')).toBe('new');
  });
});
