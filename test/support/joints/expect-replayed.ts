// What must hold when a keyed model is put together again, by the meshes of its pieces.
import { expect, it } from 'vitest';
import type { KeyedModel } from './keyed-model.ts';
import { misplaced } from './misplaced.ts';
import { replay } from './replay.ts';

/** As deep as nobody feels. */
const MOST_MM = 0.02;
/** Well beyond the clearance of 0.2 mm. */
const MISPLACED_MM = 0.6;
/** On a machine that does other things besides. */
const LONG_MS = 600_000;

/** Declares the tests. */
export function expectReplayed(model: KeyedModel): void {
  const { keyed, meshes } = model;
  const meshesOf = new Map(keyed.pieces.map(({ id, mesh }) => [id, meshes.get(mesh)!]));

  it(
    'every group reaches its place without meeting anything',
    () => {
      const met = replay(keyed.order, (id) => meshesOf.get(id)!);
      expect(met.mm, JSON.stringify(met)).toBeLessThan(MOST_MM);
    },
    LONG_MS,
  );

  it(
    'a key in the wrong place is met, whichever of two',
    () => {
      const keys = keyed.joints.flatMap((joint) => joint.keys).filter(({ kind }) => kind === 'tab');
      for (const key of [keys[0]!, keys.at(-1)!]) {
        const wrong = misplaced(model, key, MISPLACED_MM);
        const isEnd = (id: string): boolean => id === key.carrier || id === key.receiver;
        const both = keyed.order
          .filter(
            ({ moving, onto }) =>
              (moving.includes(key.carrier) && onto.includes(key.receiver)) ||
              (onto.includes(key.carrier) && moving.includes(key.receiver)),
          )
          .map((one) => ({ ...one, moving: one.moving.filter(isEnd), onto: one.onto.filter(isEnd) }));
        const met = replay(both, (id) => (id === key.carrier ? wrong : meshesOf.get(id)!), [3, 0]);
        expect(met.mm).toBeGreaterThan(0.1);
      }
    },
    LONG_MS,
  );
}
