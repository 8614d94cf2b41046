// Random changes, steps and restorings against a model in memory that is right at sight, on every database.
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Store, StoredBuild } from '../../src/store/store.ts';
import { memoryStore } from '../support/memory-store.ts';
import { PLACES, type Place } from '../support/store-places.ts';

const SEED = 20261128;

type Step =
  | { readonly do: 'change'; readonly build: unknown; readonly behind: number }
  | { readonly do: 'undo' | 'redo'; readonly steps: number }
  | { readonly do: 'restore'; readonly share: number }
  | { readonly do: 'card'; readonly card: unknown };

const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({
      do: fc.constant('change' as const),
      build: fc.jsonValue(),
      behind: fc.integer({ min: 0, max: 3 }).map((n) => Math.max(0, n - 2)),
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      do: fc.constantFrom('undo' as const, 'redo' as const),
      steps: fc.integer({ min: 1, max: 4 }),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      do: fc.constant('restore' as const),
      share: fc.double({ min: 0, max: 0.999, noNaN: true }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('card' as const), card: fc.jsonValue() }) },
);

describe.each(PLACES)(`random work on a build in $name (seed ${SEED})`, ({ cannot, make }) => {
  if (cannot !== null) return it.skip(`not run: ${cannot}`, () => undefined);
  const model = memoryStore();
  let place: Place;
  let store: Store;
  beforeAll(async () => {
    place = await make();
    store = await place.open();
  });
  afterAll(async () => {
    await store.close();
    await model.close();
    await place.remove();
  });

  it('comes to the same as in the model, step by step', async () => {
    await fc.assert(
      fc.asyncProperty(fc.jsonValue(), fc.array(step, { minLength: 1, maxLength: 20 }), async (build, steps) => {
        const real = (await store.addBuild({ build: asKept(build) })).id;
        const like = (await model.addBuild({ build: asKept(build) })).id;
        for (const each of steps) {
          const [answer, expected] = [await take(store, real, each), await take(model, like, each)];
          expect(seen(answer)).toEqual(seen(expected));
          expect(seen(await store.getBuild(real))).toEqual(seen(await model.getBuild(like)));
        }
        const heads = async (from: Store, id: string) =>
          (await from.versions(id)).map(({ madeAt: _madeAt, ...head }) => head);
        expect(await heads(store, real)).toEqual(await heads(model, like));
        for (const { number } of await model.versions(like))
          expect((await store.version(real, number))?.build).toEqual((await model.version(like, number))?.build);
        await store.removeBuild(real);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });
});

async function take(store: Store, id: string, step: Step): Promise<StoredBuild | 'outdated' | undefined> {
  const { version } = (await store.getBuild(id))!;
  if (step.do === 'change')
    return store.changeBuild(id, { from: version - step.behind, build: asKept(step.build), path: 'x', kind: 'set' });
  if (step.do === 'restore') {
    const number = 1 + Math.floor(step.share * (await store.versions(id)).length);
    const build = (await store.version(id, number))!.build;
    return store.changeBuild(id, { from: version, build, path: '', kind: 'restored' });
  }
  if (step.do === 'card') {
    await store.keepCard(id, asKept(step.card));
    return store.getBuild(id);
  }
  return store.stepBuild(id, step.do, step.steps);
}

/** JSON has no minus zero. */
function asKept(value: unknown): unknown {
  return JSON.parse(JSON.stringify(value)) as unknown;
}

function seen(answer: StoredBuild | 'outdated' | undefined): unknown {
  if (typeof answer !== 'object') return answer;
  const { build, version, canUndo, canRedo, card } = answer;
  return { build, version, canUndo, canRedo, card };
}
