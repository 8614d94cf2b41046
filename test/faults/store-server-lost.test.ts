// A server that ends its connections costs the calls under way, never the process, and what was acknowledged is there.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Store } from '../../src/store/store.ts';
import { run } from '../support/postgres-server.ts';
import { PLACES, type Place } from '../support/store-places.ts';

const ROUNDS = 20;
const SERVER = PLACES.find(({ name }) => name.includes('server'))!;

describe.skipIf(SERVER.cannot !== null)(`a server that ends all connections, ${ROUNDS} times`, () => {
  let place: Place;
  let store: Store;
  beforeAll(async () => {
    place = await SERVER.make();
    store = await place.open();
  });
  afterAll(async () => {
    await store.close();
    await place.remove();
  });

  it('loses no acknowledged change', async () => {
    const { id } = await store.addBuild({ build: 0 });
    const acknowledged = new Set<number>([1]);
    let lost = 0;
    for (let round = 0; round < ROUNDS; round++) {
      let isCut = false;
      const cut = run(
        place.options.databaseUrl!,
        "select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'helmwright'",
      ).then(() => {
        isCut = true;
      });
      // Everybody goes on until the connections have been cut, so that the cut falls among their calls.
      const work = async (): Promise<void> => {
        while (!isCut) {
          try {
            const from = (await store.getBuild(id))!.version;
            const changed = await store.changeBuild(id, { from, build: round, path: '', kind: 'set' });
            if (typeof changed === 'object') acknowledged.add(changed.version);
          } catch {
            lost++;
          }
        }
      };
      await Promise.all([cut, ...Array.from({ length: 6 }, work)]);
    }
    expect(lost).toBeGreaterThan(0);
    const numbers = new Set((await store.versions(id)).map(({ number }) => number));
    expect([...acknowledged].filter((number) => !numbers.has(number))).toEqual([]);
    expect(await store.addBuild({ build: 1 })).toMatchObject({ version: 1 });
  });
});
