// Every acknowledged write has been flushed to the disk: counted on the files themselves, since no test can pull the plug.
import fs, { readlinkSync } from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Store } from '../../src/store/store.ts';
import { EMBEDDED, type Place } from '../support/store-places.ts';

describe.skipIf(process.platform !== 'linux')('a write of the embedded database', () => {
  const real = fs.fsyncSync;
  let flushed: string[] = [];
  let place: Place;
  let store: Store;
  beforeAll(async () => {
    fs.fsyncSync = (handle) => {
      flushed.push(readlinkSync(`/proc/self/fd/${handle}`));
      real(handle);
    };
    syncBuiltinESMExports();
    place = await EMBEDDED.make();
    store = await place.open();
  });
  afterAll(async () => {
    fs.fsyncSync = real;
    syncBuiltinESMExports();
    await store.close();
    await place.remove();
  });
  const within = async (write: () => Promise<unknown>): Promise<readonly string[]> => {
    flushed = [];
    await write();
    return flushed;
  };
  const isLog = (path: string): boolean => path.includes('/database/pg_wal/');

  it('flushes the log before it is acknowledged, each time', async () => {
    const { id } = await store.addBuild({ build: 0 });
    for (let from = 1; from <= 5; from++) {
      const paths = await within(() => store.changeBuild(id, { from, build: from, path: '', kind: 'set' }));
      expect(paths.filter(isLog).length).toBeGreaterThanOrEqual(1);
    }
    for (const write of [
      () => store.stepBuild(id, 'undo', 2),
      () => store.keepCard(id, 1),
      () => store.keep('maker', 'me', 0, () => 1),
      () => store.forget('maker', 'me'),
      () => store.removeBuild(id),
    ])
      expect((await within(write)).filter(isLog).length).toBeGreaterThanOrEqual(1);
  });

  it('flushes nothing when it only reads', async () => {
    expect(await within(() => store.listBuilds())).toEqual([]);
  });

  it('flushes the folder that a file was renamed into', async () => {
    const paths = await within(() => store.takeFile(Buffer.from('model'), 10));
    expect(paths).toContain(join(place.options.dataFolder, 'files'));
  });
});
