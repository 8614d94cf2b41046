// The helm put together again, by the meshes of its pieces. Outside: depths by a library's tree of boxes and exact crossings of edges.
import { describe, expect, it } from 'vitest';
import { keyedModel } from '../support/joints/keyed-model.ts';
import { misplaced } from '../support/joints/misplaced.ts';
import { replay } from '../support/joints/replay.ts';
import { seamModel } from '../support/pieces/seam-models.ts';

/** As deep as nobody feels. */
const MOST_MM = 0.02;
/** Well beyond the clearance of 0.2 mm. */
const MISPLACED_MM = 0.6;

describe('assembling the helm, replayed', async () => {
  const model = keyedModel(await seamModel('helm'), { bedMm: [220, 220, 250], mostBowMm: 12 });
  const { keyed, meshes } = model;
  const meshesOf = new Map(keyed.pieces.map(({ id, mesh }) => [id, meshes.get(mesh)!]));

  it('every group reaches its place without meeting anything', () => {
    const met = replay(keyed.order, (id) => meshesOf.get(id)!);
    expect(met.mm, JSON.stringify(met)).toBeLessThan(MOST_MM);
  });

  it('a key in the wrong place is met, whichever of two', () => {
    const keys = keyed.joints.flatMap((joint) => joint.keys).filter(({ kind }) => kind === 'tab');
    for (const key of [keys[0]!, keys.at(-1)!]) {
      const wrong = misplaced(model, key, MISPLACED_MM);
      const join = keyed.order.filter(
        ({ moving, onto }) =>
          (moving.includes(key.carrier) && onto.includes(key.receiver)) ||
          (onto.includes(key.carrier) && moving.includes(key.receiver)),
      );
      const both = join.map((one) => ({
        ...one,
        moving: one.moving.filter((id) => id === key.carrier || id === key.receiver),
        onto: one.onto.filter((id) => id === key.carrier || id === key.receiver),
      }));
      const met = replay(both, (id) => (id === key.carrier ? wrong : meshesOf.get(id)!), [3, 0]);
      expect(met.mm).toBeGreaterThan(0.1);
    }
  });
});
