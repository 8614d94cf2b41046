// A store in memory, simple enough to be right at sight: for tests of what stands on a store, and as the model a real one is held to.
import { createHash, randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Kept, Store, StoredBuild, Version, WorkshopKind } from '../../src/store/store.ts';

interface Row {
  readonly id: string;
  versions: Version[];
  stands: number;
  redo: number[];
  changedAt: string;
  readonly begunAt: string;
  card: unknown;
}

/** Files lie in a temporary folder, as others read them by path; `close` removes it. */
export function memoryStore(): Store {
  const rows = new Map<string, Row>();
  const workshop = new Map<WorkshopKind, Kept[]>();
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-memory-store-'));
  const files = new Map<string, string>();
  let clock = Date.UTC(2026, 10, 27);
  const now = (): string => {
    clock += 1000;
    return new Date(clock).toISOString();
  };
  const at = (row: Row, number: number): Version | undefined => row.versions[number - 1];
  const shown = (row: Row): StoredBuild => ({
    id: row.id,
    build: structuredClone(at(row, row.stands)?.build),
    version: row.stands,
    canUndo: at(row, row.stands)?.from !== null,
    canRedo: row.redo.length > 0,
    changedAt: row.changedAt,
    begunAt: row.begunAt,
    card: structuredClone(row.card),
  });
  const recordsOf = (kind: WorkshopKind): Kept[] => workshop.get(kind) ?? [];

  return {
    async listBuilds() {
      return [...rows.values()].map(shown).sort((a, b) => (a.changedAt < b.changedAt ? 1 : -1));
    },
    async getBuild(id) {
      const row = rows.get(id);
      return row === undefined ? undefined : shown(row);
    },
    async addBuild(first) {
      const time = now();
      const versions: readonly Version[] =
        'versions' in first
          ? first.versions
          : [{ number: 1, from: null, kind: 'begun', path: '', madeAt: time, build: first.build }];
      const row: Row = {
        id: randomUUID(),
        versions: structuredClone([...versions]),
        stands: 'versions' in first ? first.stands : 1,
        redo: [],
        changedAt: time,
        begunAt: versions[0]?.madeAt ?? time,
        card: null,
      };
      rows.set(row.id, row);
      return shown(row);
    },
    async changeBuild(id, { from, build, path, kind }) {
      const row = rows.get(id);
      if (row === undefined) return undefined;
      if (row.stands !== from) return 'outdated';
      const number = row.versions.length + 1;
      row.changedAt = now();
      row.versions.push({ number, from, kind, path, madeAt: row.changedAt, build: structuredClone(build) });
      row.stands = number;
      row.redo = [];
      return shown(row);
    },
    async stepBuild(id, way, steps) {
      const row = rows.get(id);
      if (row === undefined) return undefined;
      for (let step = 0; step < steps; step++) {
        const to = way === 'undo' ? at(row, row.stands)?.from : row.redo.pop();
        if (to === null || to === undefined) break;
        if (way === 'undo') row.redo.push(row.stands);
        row.stands = to;
        row.changedAt = now();
      }
      return shown(row);
    },
    async versions(id) {
      return (rows.get(id)?.versions ?? []).map(({ build: _build, ...head }) => head);
    },
    async version(id, number) {
      const row = rows.get(id);
      return row === undefined ? undefined : structuredClone(at(row, number));
    },
    async removeBuild(id) {
      rows.delete(id);
    },
    async keepCard(id, card) {
      const row = rows.get(id);
      if (row !== undefined) row.card = structuredClone(card);
    },
    async kept(kind) {
      return structuredClone(recordsOf(kind));
    },
    async keep(kind, id, revision, recordAt) {
      const records = recordsOf(kind);
      const index = records.findIndex((each) => each.id === id);
      if ((records[index]?.revision ?? 0) !== revision) return 'outdated';
      const kept: Kept = { id, revision: revision + 1, record: structuredClone(recordAt(revision + 1)) };
      workshop.set(kind, index < 0 ? [...records, kept] : records.with(index, kept));
      return kept;
    },
    async forget(kind, id) {
      workshop.set(
        kind,
        recordsOf(kind).filter((each) => each.id !== id),
      );
    },
    async takeFile(from, mostBytes) {
      const chunks: Uint8Array[] = [];
      let bytes = 0;
      for await (const chunk of from instanceof Uint8Array ? [from] : from) {
        bytes += (chunk as Uint8Array).length;
        if (bytes > mostBytes) return 'too large';
        chunks.push(chunk as Uint8Array);
      }
      const whole = Buffer.concat(chunks);
      const sha256 = createHash('sha256').update(whole).digest('hex');
      const path = join(folder, sha256);
      writeFileSync(path, whole);
      files.set(sha256, path);
      return { sha256, bytes };
    },
    filePath: (sha256) => files.get(sha256),
    async dropFile(sha256) {
      const isOf = ({ build }: Version): boolean =>
        (build as { model?: { sha256?: unknown } } | null)?.model?.sha256 === sha256;
      if ([...rows.values()].some(({ versions }) => versions.some(isOf))) return;
      rmSync(join(folder, sha256), { force: true });
      files.delete(sha256);
    },
    noteAddress: () => {},
    async close() {
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
