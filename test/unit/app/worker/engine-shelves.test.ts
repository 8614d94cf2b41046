// What the engine puts on its shelf comes back the same, from the same process or another.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { fastMeshId, openMeshStore, openRecords, openShelf } from '../../../../src/app/worker/engine-shelves.ts';
import { done } from '../../../../src/base/findings.ts';
import { meshId } from '../../../../src/mesh/digest.ts';
import { quickHelm } from '../../../support/quick-helm.ts';

const folder = mkdtempSync(join(tmpdir(), 'helmwright-shelf-'));
const shelf = (name: string) => openShelf(join(folder, name), 1e9);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('meshes and records on the shelf', () => {
  const mesh = quickHelm();

  it('come back to the last bit in another run', () => {
    const id = openMeshStore(shelf('cache')).put(mesh);
    const again = openMeshStore(shelf('cache')).get(id);
    expect(again.positions).toEqual(mesh.positions);
    expect(again.triangles).toEqual(mesh.triangles);
  });

  it('have the name the engine gives them', () => {
    expect(fastMeshId(mesh)).toBe(meshId(mesh));
  });

  it('come back also when only a few bytes may stay in memory', () => {
    const store = openMeshStore(shelf('small'), 1000);
    const ids = [1, 2, 3].map((wallMm) => store.put(quickHelm({ wallMm })));
    for (const [index, id] of ids.entries())
      expect(store.get(id).positions).toEqual(quickHelm({ wallMm: index + 1 }).positions);
  });

  it('keep typed arrays in records', () => {
    openRecords(shelf('cache')).put('key', done({ outline: Float32Array.of(1, 2, 3) }));
    const again = openRecords(shelf('cache')).get('key');
    expect(again).toEqual(done({ outline: Float32Array.of(1, 2, 3) }));
  });
});
