// A full disk ends in StoreFull, with everything kept before whole, and work goes on when there is room again.
import { spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import fs, { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { openStore } from '../../src/store/open-store.ts';
import { type Store, type StoredBuild, StoreFull } from '../../src/store/store.ts';
import { type PostgresServer, postgresPrograms, startPostgres } from '../support/postgres-server.ts';
import { EMBEDDED, NEW_DATABASE, type Place } from '../support/store-places.ts';

const root = mkdtempSync(join(tmpdir(), 'helmwright-full-'));
const mounts: string[] = [];
const mayMount = tryMount();
afterAll(() => {
  for (const each of mounts) spawnSync('umount', [each]);
  rmSync(root, { recursive: true, force: true });
});

/** Incompressible, so that it needs on the disk what it measures here. */
const heavy = (kilobytes: number) => ({
  value: randomBytes(8).toString('hex'),
  load: randomBytes(kilobytes * 768).toString('base64'),
});

describe('writes of the embedded database that fail at the nth', () => {
  const real = fs.writeSync;
  /** Only the database's own runtime looks writeSync up in the module each time; everything else here has it already. */
  const failAfter = (writes: number): { readonly failed: () => boolean } => {
    let left = writes;
    let failed = false;
    fs.writeSync = ((...parameters: Parameters<typeof real>) => {
      if (left-- > 0) return real(...parameters);
      failed = true;
      throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
    }) as typeof real;
    return { failed: () => failed };
  };
  afterEach(() => {
    fs.writeSync = real;
  });

  it.each([
    ['a small change, every n', 4, (n: number) => n + 1],
    ['a change of half a megabyte, ever larger n', 500, (n: number) => n + 1 + Math.floor(n / 3)],
  ])(
    '%s',
    async (_what, kilobytes, next) => {
      const place = await EMBEDDED.make();
      const store = await place.open();
      const { id } = await store.addBuild({ build: heavy(kilobytes) });
      let refused = 0;
      for (let n = 0; ; n = next(n)) {
        const before = (await store.getBuild(id))!;
        const build = heavy(kilobytes);
        const failing = failAfter(n);
        const answer = await store
          .changeBuild(id, { from: before.version, build, path: '', kind: 'set' })
          .catch((error: unknown) => error);
        fs.writeSync = real;
        const after = (await store.getBuild(id))!;
        if (answer instanceof Error) {
          refused++;
          expect(answer, `write ${n}`).toBeInstanceOf(StoreFull);
          // Not acknowledged: it may be there or not, but whole either way.
          expect([before.build, build], `write ${n}`).toContainEqual(after.build);
        } else expect(after, `write ${n}`).toEqual(answer);
        expect((await store.versions(id)).map(({ number }) => number)).toEqual(upTo(after.version));
        await change(store, id, heavy(4));
        if (!failing.failed()) break;
      }
      expect(refused).toBeGreaterThan(0);
      await store.close();
      await expectWhole(place, id);
      await place.remove();
    },
    600_000,
  );

  it('a closing on a full disk loses nothing', async () => {
    const place = await EMBEDDED.make();
    const store = await place.open();
    const { id } = await store.addBuild({ build: heavy(50) });
    for (let count = 0; count < 10; count++) await change(store, id, heavy(50));
    const failing = failAfter(0);
    await store.close();
    fs.writeSync = real;
    expect(failing.failed()).toBe(true);
    await expectWhole(place, id);
    await place.remove();
  });

  it('an opening on a full disk is refused, and the next one finds everything', async () => {
    const place = await EMBEDDED.make();
    const store = await place.open();
    const { id } = await store.addBuild({ build: heavy(50) });
    failAfter(0);
    // Leaves the log to be repeated by the next opening.
    await store.close();
    rmSync(join(place.options.dataFolder, 'database', 'reserve'), { force: true });
    expect(await openStore(place.options)).toMatchObject({ ok: false, code: 'DISK_REFUSED' });
    fs.writeSync = real;
    await expectWhole(place, id);
    await place.remove();
  });
});

describe('a small disk', () => {
  if (!mayMount) return it.skip('not run: a small disk cannot be mounted here', () => undefined);

  it('that runs full under the data folder: reading goes on, writing goes on when there is room', async () => {
    const disk = mount('embedded', 96);
    const dataFolder = join(disk, 'data');
    const opened = await openStore({ dataFolder, newDatabase: NEW_DATABASE });
    if (!opened.ok) throw new Error(opened.why);
    const store = opened.value;
    const { id } = await store.addBuild({ build: heavy(4) });
    const file = randomBytes(100_000);
    const taken = (await store.takeFile(file, 1e6)) as { sha256: string };
    fill(disk);
    // Also a stream of which only the beginning still goes in.
    for (const from of [randomBytes(3e6), Readable.from([Buffer.alloc(4096), randomBytes(3e6)])])
      await expect(store.takeFile(from, 1e7)).rejects.toBeInstanceOf(StoreFull);
    expect(readdirSync(join(dataFolder, 'files'))).toEqual([taken.sha256]);
    const last = await changeUntilFull(store, id);
    await expect(store.addBuild({ build: heavy(4) })).rejects.toBeInstanceOf(StoreFull);
    await expect(store.keepCard(id, 1)).rejects.toBeInstanceOf(StoreFull);
    await expect(store.keep('maker', 'me', 0, () => 1)).rejects.toBeInstanceOf(StoreFull);
    expect(await store.getBuild(id)).toEqual(last);
    expect(readFileSync(store.filePath(taken.sha256)!).equals(file)).toBe(true);
    rmSync(join(disk, 'filling'));
    await change(store, id, heavy(4));
    expect(await store.takeFile(randomBytes(3e6), 1e7)).toMatchObject({ bytes: 3e6 });
    // Full again, closed, and opened on the full disk: reading needs no room.
    fill(disk);
    await changeUntilFull(store, id);
    await store.close();
    const again = await openStore({ dataFolder, newDatabase: NEW_DATABASE });
    if (!again.ok) throw new Error(again.why);
    expect((await again.value.versions(id)).map(({ number }) => number)).toEqual(
      upTo((await again.value.getBuild(id))!.version),
    );
    await expect(again.value.keepCard(id, 1)).rejects.toBeInstanceOf(StoreFull);
    rmSync(join(disk, 'filling'));
    await change(again.value, id, heavy(4));
    await again.value.close();
  }, 300_000);

  it('too small for the database itself is refused and left empty', async () => {
    const dataFolder = join(mount('tiny', 8), 'data');
    const opened = await openStore({ dataFolder, newDatabase: NEW_DATABASE });
    expect(opened).toMatchObject({ ok: false, code: 'DISK_REFUSED', why: expect.stringContaining('full') });
    expect(readdirSync(dataFolder)).toEqual([]);
  });

  it.skipIf(postgresPrograms() === null)(
    'that runs full under the tables of a PostgreSQL server',
    async () => {
      const disk = mount('server', 64);
      // The server runs as another user than root, and keeps its log elsewhere: without room for that it ends itself.
      for (const each of [root, disk]) fs.chmodSync(each, 0o777);
      const tables = join(disk, 'tables');
      mkdirSync(tables);
      const server: PostgresServer = await startPostgres();
      const databaseUrl = await server.newDatabase(tables);
      const opened = await openStore({ dataFolder: join(root, 'beside'), databaseUrl });
      if (!opened.ok) throw new Error(opened.why);
      const store = opened.value;
      const { id } = await store.addBuild({ build: heavy(4) });
      fill(disk, 3 << 20);
      const last = await changeUntilFull(store, id, 2000);
      expect(await store.getBuild(id)).toEqual(last);
      rmSync(join(disk, 'filling'));
      await change(store, id, heavy(4));
      await store.close();
      await server.stop();
    },
    300_000,
  );
});

async function change(store: Store, id: string, build: unknown): Promise<StoredBuild> {
  const { version } = (await store.getBuild(id))!;
  const changed = await store.changeBuild(id, { from: version, build, path: '', kind: 'set' });
  if (typeof changed !== 'object') throw new Error('nobody else writes here');
  return changed;
}

/** The last change that was acknowledged. */
async function changeUntilFull(store: Store, id: string, kilobytes = 200): Promise<StoredBuild> {
  let last = (await store.getBuild(id))!;
  for (let count = 0; count < 500; count++) {
    try {
      last = await change(store, id, heavy(kilobytes));
    } catch (error) {
      expect(error).toBeInstanceOf(StoreFull);
      return last;
    }
  }
  throw new Error('the disk did not run full');
}

async function expectWhole(place: Place, id: string): Promise<void> {
  const store = await place.open();
  const { version } = (await store.getBuild(id))!;
  expect((await store.versions(id)).map(({ number }) => number)).toEqual(upTo(version));
  await change(store, id, heavy(4));
  await store.close();
}

function upTo(last: number): number[] {
  return Array.from({ length: last }, (_, index) => index + 1);
}

function tryMount(): boolean {
  if (process.getuid?.() !== 0 || process.platform !== 'linux') return false;
  const path = join(root, 'try');
  mkdirSync(path);
  if (spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=1m', 'tmpfs', path]).status !== 0) return false;
  spawnSync('umount', [path]);
  return true;
}

function mount(name: string, megabytes: number): string {
  const path = join(root, name);
  mkdirSync(path);
  const { status } = spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', path]);
  if (status !== 0) throw new Error(`mount ended with ${status}`);
  mounts.push(path);
  return path;
}

/** Leaves so many bytes. */
function fill(disk: string, leave = 1 << 20): void {
  const { bavail, bsize } = statfsSync(disk);
  writeFileSync(join(disk, 'filling'), Buffer.alloc(Math.max(0, bavail * bsize - leave)));
}
