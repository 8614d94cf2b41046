// The engine thread's meshes and results: in memory, and on disk when a data folder is given.

import { createHash } from 'node:crypto';
import type { Outcome } from '../../base/findings.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';
import { meshFromBytes, meshToBytes, recordFromBytes, recordToBytes } from '../../store/mesh-bytes.ts';
import type { Shelf } from '../../store/store.ts';
import { openBoundedShelf } from './bounded-shelf.ts';

/** A mesh that a kept result names was dropped from the shelf meanwhile: the result has to be computed again. */
export class MeshGone extends Error {
  constructor(id: string) {
    super(`mesh ${id} is no longer on the shelf`);
    this.name = 'MeshGone';
  }
}

/** Meshes by id. At most `keep` bytes stay in memory when there is a shelf to read the others back from. */
export function openMeshStore(shelf: Shelf | null, keep = 1.5e9): MeshStore {
  const inMemory = new Map<string, Mesh>();
  let bytes = 0;
  const hold = (id: string, mesh: Mesh): void => {
    inMemory.delete(id);
    inMemory.set(id, mesh);
    bytes += sizeOf(mesh);
    if (shelf === null) return;
    for (const [oldest, old] of inMemory) {
      if (bytes <= keep || oldest === id) return;
      inMemory.delete(oldest);
      bytes -= sizeOf(old);
    }
  };
  return {
    get(id) {
      const held = inMemory.get(id);
      if (held !== undefined) return held;
      const stored = shelf?.get(`mesh-${id}`);
      if (stored === undefined) throw new MeshGone(id);
      const mesh = meshFromBytes(stored);
      hold(id, mesh);
      return mesh;
    },
    put(mesh) {
      const id = fastMeshId(mesh);
      if (inMemory.has(id)) return id;
      shelf?.put(`mesh-${id}`, meshToBytes(mesh));
      hold(id, mesh);
      return id;
    },
  };
}

/** Outcomes of chapters by fingerprint. Files appear whole, so what is there is taken as it stands. */
export interface Records {
  get<T>(key: string): Outcome<T> | undefined;
  put<T>(key: string, outcome: Outcome<T>): void;
}

/** At most `keep` of them stay in memory when there is a shelf to read the others back from. */
export function openRecords(shelf: Shelf | null, keep = 100): Records {
  const inMemory = new Map<string, Outcome<unknown>>();
  const hold = (key: string, outcome: Outcome<unknown>): void => {
    inMemory.delete(key);
    inMemory.set(key, outcome);
    const [oldest] = inMemory.keys();
    if (shelf !== null && inMemory.size > keep && oldest !== undefined) inMemory.delete(oldest);
  };
  return {
    get<T>(key: string) {
      const held = inMemory.get(key);
      const stored = held === undefined ? shelf?.get(`record-${key}`) : undefined;
      const outcome = stored === undefined ? held : (recordFromBytes(stored) as Outcome<T>);
      if (outcome !== undefined) hold(key, outcome);
      return outcome as Outcome<T> | undefined;
    },
    put(key, outcome) {
      hold(key, outcome);
      shelf?.put(`record-${key}`, recordToBytes(outcome));
    },
  };
}

/** The same results, but none of those that were there before: everything is computed again and takes their place. */
export function freshRecords(records: Records): Records {
  const since = new Set<string>();
  return {
    get: (key) => (since.has(key) ? records.get(key) : undefined),
    put(key, outcome) {
      since.add(key);
      records.put(key, outcome);
    },
  };
}

export function openShelf(folder: string | null, mostBytes: number): Shelf | null {
  return folder === null ? null : openBoundedShelf(folder, { mostBytes });
}

/** The same as meshId of the engine, many times as fast by the platform's own hash; a test says so. */
export function fastMeshId({ positions, triangles }: Mesh): string {
  const hash = createHash('sha256');
  for (const { buffer, byteOffset, byteLength } of [positions, triangles])
    hash.update(new Uint8Array(buffer, byteOffset, byteLength));
  return hash.digest('hex');
}

function sizeOf(mesh: Mesh): number {
  return mesh.positions.byteLength + mesh.triangles.byteLength;
}
