// Opening: one owner of a folder, tables of every age, data of the version before, and transactions that stay apart.
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Database } from '../../../src/store/database.ts';
import { openEmbedded } from '../../../src/store/embedded/embedded-database.ts';
import { type FolderLock, type Hold, holdOf, lockFolder } from '../../../src/store/folder-lock.ts';
import { migrate } from '../../../src/store/migrations/migrations.ts';
import { openStore } from '../../../src/store/open-store.ts';
import { openServerDatabase } from '../../../src/store/server-database.ts';
import { EMBEDDED, PLACES, type Place } from '../../support/store-places.ts';

const root = mkdtempSync(join(tmpdir(), 'helmwright-opening-'));
const holds = process.platform === 'win32' ? (['pipe'] as const) : ([holdOf(process.platform), 'file'] as const);
afterAll(() => rmSync(root, { recursive: true, force: true }));

describe.each([...new Set<Hold>(holds)])('the lock of a folder, held as a %s', (hold) => {
  const folder = mkdtempSync(join(root, 'lock-'));
  const lock = async () => {
    const taken = await lockFolder(folder, hold);
    if ('takenBy' in taken) throw new Error('taken');
    return taken;
  };

  it('is had by one at a time, who says who it is and where its page is', async () => {
    const mine = await lock();
    expect(await lockFolder(folder, hold)).toMatchObject({ takenBy: { pid: process.pid, address: null } });
    mine.noteAddress('http://127.0.0.1:4321/');
    expect(await lockFolder(folder, hold)).toMatchObject({ takenBy: { address: 'http://127.0.0.1:4321/' } });
    await mine.release();
    expect(existsSync(join(folder, 'owner.json'))).toBe(false);
    await (await lock()).release();
  });

  it('belongs to the folder, by whatever name it is reached, and moves with it', async () => {
    const link = `${folder}-link`;
    symlinkSync(folder, link);
    const mine: FolderLock = await lock();
    expect(await lockFolder(link, hold)).toHaveProperty('takenBy');
    const moved = `${folder}-moved`;
    renameSync(folder, moved);
    expect(await lockFolder(moved, hold)).toHaveProperty('takenBy');
    renameSync(moved, folder);
    await mine.release();
  });

  it('names nobody when the owner has not said who it is', async () => {
    const mine = await lock();
    for (const note of ['', '{"pid":', '[]', '{"pid":999999999,"since":"x"}']) {
      writeFileSync(join(folder, 'owner.json'), note);
      expect(await lockFolder(folder, hold)).toEqual({ takenBy: null });
    }
    await mine.release();
  });
});

describe.each(PLACES)('the tables in $name', ({ cannot, make }) => {
  if (cannot !== null) return it.skip(`not run: ${cannot}`, () => undefined);
  let place: Place;
  beforeAll(async () => {
    place = await make();
    await (await place.open()).close();
  });
  afterAll(() => place.remove());
  const database = async (): Promise<Database> => {
    const { dataFolder, databaseUrl } = place.options;
    const opened =
      databaseUrl === undefined
        ? await openEmbedded(join(dataFolder, 'database'), null)
        : await openServerDatabase(databaseUrl);
    if (!opened.ok) throw new Error(opened.why);
    return opened.value;
  };

  it('keep a write that comes while another transaction is rolled back', async () => {
    const { tables, close } = await database();
    await sql`create table apart (what text)`.execute(tables);
    let goOn: () => void = () => undefined;
    const reached = new Promise<void>((resolve) => {
      goOn = resolve;
    });
    const failing = tables.transaction().execute(async (within) => {
      await sql`insert into apart values ('rolled back')`.execute(within);
      goOn();
      // Long enough for the other write to come in between, if anything let it.
      await new Promise((resolve) => setTimeout(resolve, 50));
      await sql`insert into apart values ('rolled back too')`.execute(within);
      throw new Error('on purpose');
    });
    await reached;
    const others = [
      sql`insert into apart values ('alone')`.execute(tables),
      tables.transaction().execute((within) => sql`insert into apart values ('within')`.execute(within)),
    ];
    await expect(failing).rejects.toThrow('on purpose');
    await Promise.all(others);
    const { rows } = await sql<{ what: string }>`select what from apart order by what`.execute(tables);
    expect(rows.map(({ what }) => what)).toEqual(['alone', 'within']);
    await close();
  });

  it('let a transaction that met an error end, and the next one begin', async () => {
    const { tables, close } = await database();
    const bad = tables.transaction().execute((within) => sql`select * from nowhere`.execute(within));
    await expect(bad).rejects.toThrow(/nowhere/);
    const swallowed = tables.transaction().execute(async (within) => {
      await sql`insert into apart values ('lost')`.execute(within);
      await sql`select * from nowhere`.execute(within).catch(() => undefined);
    });
    // A transaction that went on after an error commits nothing; whether that is said depends on the database.
    await swallowed.catch(() => undefined);
    const { rows } = await sql<{ n: number }>`select count(*)::int as n from apart where what = 'lost'`.execute(tables);
    expect(rows).toEqual([{ n: 0 }]);
    await close();
  });

  it('hold to their own laws, whoever writes', async () => {
    const { tables, close } = await database();
    const wrong = [
      sql`insert into helmwright.builds (id, stands, redo, card, begun_at, changed_at) values ('x', 1, '[]', 'null', now(), now())`,
      sql`insert into helmwright.versions (build, number, kind, path, made_at, whole) values ('none', 1, 'set', '', now(), '1')`,
      sql`insert into helmwright.kept (kind, id, revision, record) values ('spoon', 'x', 1, '1')`,
    ];
    for (const each of wrong) await expect(each.execute(tables)).rejects.toThrow(/violates/);
    await close();
  });

  it('are brought up to date by several at once, and once only', async () => {
    const { tables, close } = await database();
    await sql`drop schema helmwright cascade`.execute(tables);
    const all = await Promise.all([migrate(tables), migrate(tables), migrate(tables)]);
    expect(all.every(({ ok }) => ok)).toBe(true);
    await close();
  });

  it('of a newer version are left alone', async () => {
    const { tables, close } = await database();
    await sql`insert into helmwright.steps values ('9999-later', 'now')`.execute(tables);
    await close();
    const opened = await openStore(place.options);
    expect(opened).toMatchObject({ ok: false, code: 'STORE_NEWER', why: expect.stringContaining('9999-later') });
    const again = await database();
    await sql`delete from helmwright.steps where name = '9999-later'`.execute(again.tables);
    await again.close();
    const store = await place.open();
    await store.close();
  });
});

describe('an embedded database', () => {
  it('written by a newer PostgreSQL is left alone', async () => {
    const place = await EMBEDDED.make();
    await (await place.open()).close();
    const version = join(place.options.dataFolder, 'database', 'PG_VERSION');
    writeFileSync(version, '19\n');
    expect(await openStore(place.options)).toMatchObject({ ok: false, code: 'STORE_NEWER' });
    writeFileSync(version, '18\n');
    await (await place.open()).close();
    await place.remove();
  });

  it('can be made from nothing, without the image of the built program', async () => {
    const dataFolder = join(root, 'from-nothing');
    const opened = await openStore({ dataFolder, newDatabase: join(root, 'no-image') });
    if (!opened.ok) throw new Error(opened.why);
    expect(await opened.value.addBuild({ build: 1 })).toMatchObject({ version: 1 });
    await opened.value.close();
    expect(readdirSync(dataFolder).sort()).toEqual(['database', 'files']);
  });
});

describe('data of the version before', () => {
  const model = Buffer.from('solid x\nendsolid x\n');
  const hash = createHash('sha256').update(model).digest('hex');
  const old = (id: string, changed: string, more: object = {}) =>
    JSON.stringify({
      id,
      build: { at: 3 },
      undo: [{ at: 1 }, { at: 2 }],
      redo: [{ at: 5 }, { at: 4 }],
      changed,
      ...more,
    });

  it.each(PLACES.filter(({ cannot }) => cannot === null))('are taken in once, in $name', async ({ make }) => {
    const place = await make();
    const { dataFolder } = place.options;
    for (const name of ['builds', 'models']) mkdirSync(join(dataFolder, name), { recursive: true });
    writeFileSync(join(dataFolder, 'models', hash), model);
    writeFileSync(join(dataFolder, 'builds', 'older.json'), old('older', '2026-10-01T10:00:00.000Z'));
    writeFileSync(
      join(dataFolder, 'builds', 'newer.json'),
      old('newer', '2026-11-01T10:00:00.000Z', { undo: [], redo: [] }),
    );
    writeFileSync(join(dataFolder, 'builds', 'torn.json'), old('torn', '2026-11-02T10:00:00.000Z').slice(0, 40));
    const opened = await openStore(place.options);
    if (!opened.ok) throw new Error(opened.why);
    expect(opened.findings).toMatchObject([
      { code: 'OLD_BUILD_UNREADABLE', where: { path: expect.stringContaining('torn') } },
    ]);
    const store = opened.value;
    expect((await store.listBuilds()).map(({ id }) => id)).toEqual(['newer', 'older']);
    expect(await store.getBuild('older')).toMatchObject({
      build: { at: 3 },
      version: 3,
      changedAt: '2026-10-01T10:00:00.000Z',
    });
    expect(await store.stepBuild('older', 'redo', 1)).toMatchObject({ build: { at: 4 } });
    expect(await store.stepBuild('older', 'redo', 1)).toMatchObject({ build: { at: 5 }, canRedo: false });
    expect(await store.stepBuild('older', 'undo', 9)).toMatchObject({ build: { at: 1 }, canUndo: false });
    expect(readFileSync(store.filePath(hash)!).equals(model)).toBe(true);
    await store.removeBuild('newer');
    await store.close();
    expect(existsSync(join(dataFolder, 'models'))).toBe(false);
    expect(readdirSync(join(dataFolder, 'builds-taken-in')).sort()).toEqual(['newer.json', 'older.json', 'torn.json']);
    const again = await place.open();
    expect((await again.listBuilds()).map(({ id }) => id)).toEqual(['older']);
    await again.close();
    await place.remove();
  });

  it('are taken in by the next opening when the first was killed before it had renamed their folder', async () => {
    const place = await EMBEDDED.make();
    const { dataFolder } = place.options;
    mkdirSync(join(dataFolder, 'builds'));
    writeFileSync(join(dataFolder, 'builds', 'one.json'), old('one', '2026-10-01T10:00:00.000Z'));
    await (await place.open()).close();
    renameSync(join(dataFolder, 'builds-taken-in'), join(dataFolder, 'builds'));
    writeFileSync(join(dataFolder, 'builds', 'two.json'), old('two', '2026-10-02T10:00:00.000Z'));
    const store = await place.open();
    expect((await store.listBuilds()).map(({ id }) => id)).toEqual(['two', 'one']);
    await store.close();
    await place.remove();
  });
});
