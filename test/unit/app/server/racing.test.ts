// Changes from several sides at once: none is lost, the last at a path wins, and a change of another process is seen.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BuildState } from '../../../../src/app/api/api.ts';
import { ask, begin, openSmallHouse, type SmallHouse } from '../../../support/small-house.ts';

describe('changes at once', () => {
  let small: SmallHouse;
  beforeEach(async () => {
    small = await openSmallHouse();
  });
  afterEach(() => small.close());

  const change = (id: string, path: string, value: number) =>
    ask(small.origin, `PATCH /api/builds/${id}`, { path, value });

  it('keeps both when two pages change different values', async () => {
    const id = await begin(small.origin);
    await Promise.all([change(id, 'print.layerMm', 0.28), change(id, 'print.infillPercent', 20)]);
    const { build, version } = (await ask(small.origin, `GET /api/builds/${id}`)).body as BuildState;
    expect([build.print.layerMm, build.print.infillPercent, version]).toEqual([0.28, 20, 3]);
  });

  it('keeps every one of a hundred changes in history, and the last one stands', async () => {
    const id = await begin(small.origin);
    const values = Array.from({ length: 100 }, (_, i) => 11 + (i % 80));
    await Promise.all(values.map((value) => change(id, 'print.infillPercent', value)));
    const versions = await small.store.versions(id);
    expect(versions.length).toBeGreaterThan(90); // the same value twice in a row makes no version
    for (const { number, from } of versions) expect(from).toBe(number === 1 ? null : number - 1);
    const stands = await small.store.getBuild(id);
    expect(stands?.version).toBe(versions.length);
  });

  it('makes a change once more on top of one that another process made meanwhile', async () => {
    const id = await begin(small.origin);
    await ask(small.origin, `GET /api/builds/${id}`);
    const stored = await small.store.getBuild(id);
    const build = structuredClone(stored?.build) as BuildState['build'];
    build.print.infillPercent = 33;
    await small.store.changeBuild(id, { from: 1, build, path: 'print.infillPercent', kind: 'set' });
    const answer = (await change(id, 'print.layerMm', 0.3)).body as BuildState;
    expect([answer.build.print.infillPercent, answer.build.print.layerMm, answer.version]).toEqual([33, 0.3, 3]);
  });

  it('refuses a record of the workshop that was changed meanwhile, and says so', async () => {
    const machine = ((await ask(small.origin, 'GET /api/workshop')).body as { machines: { id: string }[] }).machines[0];
    const put = (powerW: number) =>
      ask(small.origin, `PUT /api/workshop/machines/${machine?.id}`, { ...machine, powerW });
    const answers = await Promise.all([put(100), put(200)]);
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 409]);
    expect(answers.find(({ status }) => status === 409)?.body).toMatchObject({ code: 'OUTDATED' });
  });
});
