// Builds over HTTP: begun, changed, stepped, restored, copied, taken off; every answer as its schema says.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { BuildCard, BuildState, HistoryEntry, NewBuild, Problem } from '../../../../src/app/api/api.ts';
import { StoreFull } from '../../../../src/store/store.ts';
import { memoryStore } from '../../../support/memory-store.ts';
import { ask, begin, openSmallHouse, type SmallHouse, TINY_STL } from '../../../support/small-house.ts';

describe('builds over HTTP', () => {
  let small: SmallHouse;
  beforeAll(async () => {
    small = await openSmallHouse();
  });
  afterAll(() => small.close());

  const stateOf = async (line: string, body?: unknown): Promise<BuildState> => {
    const answer = await ask(small.origin, line, body);
    expect(answer, JSON.stringify(answer.body)).toMatchObject({ status: 200, type: 'application/json; charset=utf-8' });
    return BuildState.parse(answer.body);
  };
  const refusedAs = async (status: number, code: string, line: string, body?: unknown): Promise<Problem> => {
    const answer = await ask(small.origin, line, body);
    expect(answer).toMatchObject({ status, type: 'application/problem+json' });
    const problem = Problem.parse(answer.body);
    expect(problem).toMatchObject({ status, code });
    expect(problem.tryThis).not.toBe('');
    return problem;
  };
  const settled = async (id: string): Promise<BuildState> => {
    for (let i = 0; i < 100; i++) {
      const state = await stateOf(`GET /api/builds/${id}`);
      if (state.computing === null) return state;
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    throw new Error('never computed');
  };

  it('begins a build with a file, computes it, and shows it on the shelf', async () => {
    const id = await begin(small.origin);
    const state = await settled(id);
    expect(state).toMatchObject({ build: { name: 'Storm helm', model: { file: 'storm-helm.stl' } }, version: 1 });
    expect(state).toMatchObject({ figureIs: 'whole', stale: [], trouble: null, canUndo: false, canRedo: false });
    expect(state.text?.chapters).toHaveLength(8);
    const cards = z.array(BuildCard).parse((await ask(small.origin, 'GET /api/builds')).body);
    expect(cards[0]).toMatchObject({
      id,
      title: 'Storm helm',
      state: 'computed',
      says: 'One piece, layers of 0.2 mm.',
    });
    expect(cards[0]?.thumbnail).toContain('<svg');
    const figure = await fetch(`${small.origin}/api/builds/${id}/figure`);
    expect(await figure.json()).toMatchObject({ layerMm: 0.2 });
  });

  it('gives the same file twice one build', async () => {
    const [one, other] = [await begin(small.origin, 'same.stl'), await begin(small.origin, 'same.stl')];
    expect(other).toBe(one);
  });

  it('sets values, steps back and forth, and keeps every version in words', async () => {
    const id = await begin(small.origin, 'steps.stl');
    await settled(id);
    await stateOf(`PATCH /api/builds/${id}`, { path: 'print.layerMm', value: 0.28 });
    const changed = await stateOf(`PATCH /api/builds/${id}`, { path: 'machines.0.bedMm.0', value: 180 });
    expect(changed).toMatchObject({ version: 3, canUndo: true, canRedo: false });
    expect(changed.build.machines[0]?.bedMm).toEqual([180, 220, 250]);
    await settled(id);
    const back = await stateOf(`POST /api/builds/${id}/undo`, { steps: 5 });
    expect(back).toMatchObject({ version: 1, canUndo: false, canRedo: true });
    expect(await stateOf(`POST /api/builds/${id}/redo`)).toMatchObject({ version: 2, canUndo: true, canRedo: true });
    expect((await stateOf(`POST /api/builds/${id}/restore`, { version: 3 })).version).toBe(4);
    const history = z.array(HistoryEntry).parse((await ask(small.origin, `GET /api/builds/${id}/history`)).body);
    expect(history.map(({ number, from, says, stands }) => [number, from, says, stands])).toEqual([
      [4, 2, expect.stringMatching(/^Version 3 of \d+ \w+( \d{4})? again$/), true],
      [3, 2, 'Bed width: 220\u00a0mm to 180\u00a0mm', false],
      [2, 1, 'Layer height: 0.2\u00a0mm to 0.28\u00a0mm', false],
      [1, null, 'Begun', false],
    ]);
  });

  it('makes no version of a value that stands already', async () => {
    const id = await begin(small.origin, 'no-change.stl');
    expect(await stateOf(`PATCH /api/builds/${id}`, { path: 'print.layerMm', value: 0.2 })).toMatchObject({
      version: 1,
    });
  });

  it('names the chapters whose text is older than the build until it is computed', async () => {
    const byHand = await openSmallHouse({ engine: 'by hand' });
    const id = await begin(byHand.origin);
    await ask(byHand.origin, `GET /api/builds/${id}`);
    byHand.engine.finish();
    await new Promise((resolve) => setTimeout(resolve, 20));
    const changed = await ask(byHand.origin, `PATCH /api/builds/${id}`, { path: 'print.layerMm', value: 0.1 });
    expect(changed.body).toMatchObject({ stale: ['printing', 'beds', 'surface'], computing: { chapter: 'reading' } });
    const stopped = await ask(byHand.origin, `POST /api/builds/${id}/cancel`);
    expect(stopped.body).toMatchObject({ stale: ['printing', 'beds', 'surface'], computing: null });
    expect((await ask(byHand.origin, 'GET /api/builds')).body).toMatchObject([{ state: 'not computed' }]);
    const again = await ask(byHand.origin, `POST /api/builds/${id}/compute`);
    expect(again.body).toMatchObject({ computing: { chapter: 'reading' } });
    byHand.engine.finish();
    await byHand.close();
  });

  it('copies a build with a change into one with its own history', async () => {
    const id = await begin(small.origin, 'copied.stl');
    const copy = { name: 'Thin layers', change: { path: 'print.layerMm', value: 0.1 } };
    const answer = await ask(small.origin, `POST /api/builds/${id}/copy`, copy);
    expect(answer.status).toBe(201);
    const other = await stateOf(`GET /api/builds/${NewBuild.parse(answer.body).id}`);
    expect(other).toMatchObject({ version: 1, build: { name: 'Thin layers', print: { layerMm: 0.1 } } });
    expect(await stateOf(`GET /api/builds/${id}`)).toMatchObject({ build: { print: { layerMm: 0.2 } } });
  });

  it('takes a build off the shelf for good', async () => {
    const id = await begin(small.origin, 'gone.stl');
    const response = await fetch(`${small.origin}/api/builds/${id}`, { method: 'DELETE' });
    expect([response.status, await response.text()]).toEqual([204, '']);
    await refusedAs(404, 'NOT_FOUND', `GET /api/builds/${id}`);
    await refusedAs(404, 'NOT_FOUND', `DELETE /api/builds/${id}`);
  });

  it('offers what has changed in the workshop, in words, and takes it over as one step', async () => {
    const id = await begin(small.origin, 'offered.stl');
    const { machines } = (await ask(small.origin, 'GET /api/workshop')).body as { machines: { id: string }[] };
    const machine = machines.find((each) => each.id === 'bed-220x220x250');
    await ask(small.origin, 'PUT /api/workshop/machines/bed-220x220x250', { ...machine, outerWallSpeedMmS: 60 });
    const { offers } = await stateOf(`GET /api/builds/${id}`);
    expect(offers).toMatchObject([{ path: 'machines.0', says: 'Outer pass speed 40 to 60\u00a0mm/s' }]);
    const taken = await stateOf(`PATCH /api/builds/${id}`, { path: offers[0]?.path, value: offers[0]?.value });
    expect(taken).toMatchObject({ offers: [], build: { machines: [{ outerWallSpeedMmS: 60, revision: 2 }] } });
    const { body } = await ask(small.origin, `GET /api/builds/${id}/history`);
    expect(body).toMatchObject([{ says: '220 x 220 x 250 mm machine: outer pass speed 40 to 60\u00a0mm/s' }, {}]);
  });

  it('says what is wrong with a request, and where', async () => {
    const id = await begin(small.origin, 'wrong.stl');
    const at = `/api/builds/${id}`;
    expect((await refusedAs(400, 'REQUEST_REFUSED', `PATCH ${at}`, { path: '' })).detail).toMatch(
      /body, path: .*value/,
    );
    await refusedAs(400, 'REQUEST_REFUSED', `POST ${at}/undo`, { steps: 0 });
    await refusedAs(422, 'BUILD_INVALID', `PATCH ${at}`, { path: 'no.such', value: 1 });
    await refusedAs(400, 'REQUEST_REFUSED', `PATCH ${at}`, { path: 'name.of.it', value: 1 });
    await refusedAs(400, 'REQUEST_REFUSED', `PATCH ${at}`, { path: 'model.sha256', value: 'b'.repeat(64) });
    const { detail } = await refusedAs(422, 'BUILD_INVALID', `PATCH ${at}`, { path: 'print.layerMm', value: 9 });
    expect(detail).toContain('print.layerMm must be at most 1');
    await refusedAs(404, 'NOT_FOUND', `POST ${at}/restore`, { version: 99 });
    await refusedAs(404, 'NOT_FOUND', 'GET /api/nothing');
    await refusedAs(400, 'REQUEST_REFUSED', 'GET /api/beside?left=../x&right=y');
  });

  it('leaves no build of a file that is empty, too large, or cannot be read', async () => {
    const before = (await ask(small.origin, 'GET /api/builds')).body;
    await expect(begin(small.origin, 'empty.stl', '')).rejects.toThrow('FILE_UNREADABLE');
    small.engine.readRefusal = { ok: false, code: 'FILE_KIND_UNKNOWN', why: 'A picture.', tryThis: 'A model.' };
    await expect(begin(small.origin, 'picture.png')).rejects.toThrow('A picture.');
    small.engine.readRefusal = null;
    const tight = await openSmallHouse({ limits: { modelBytes: TINY_STL.length - 1 } });
    await expect(begin(tight.origin)).rejects.toThrow('FILE_TOO_LARGE');
    expect((await ask(tight.origin, 'GET /api/builds')).body).toEqual([]);
    await tight.close();
    expect((await ask(small.origin, 'GET /api/builds')).body).toEqual(before);
  });

  it('says that the disk is full when a change was not kept', async () => {
    const store = memoryStore();
    const full = await openSmallHouse({
      store: { ...store, changeBuild: () => Promise.reject(new StoreFull(new Error('ENOSPC'))) },
    });
    const id = await begin(full.origin);
    const answer = await ask(full.origin, `PATCH /api/builds/${id}`, { path: 'print.layerMm', value: 0.3 });
    expect(answer).toMatchObject({ status: 507, body: { code: 'DISK_REFUSED' } });
    expect((await ask(full.origin, `GET /api/builds/${id}`)).body).toMatchObject({ version: 1 });
    await full.close();
  });

  it('hands out the kit under the title of the book', async () => {
    const id = await begin(small.origin, 'kit.stl');
    await stateOf(`PATCH /api/builds/${id}`, { path: 'name', value: '../Wächter"\r\n helm' });
    const response = await fetch(`${small.origin}/api/builds/${id}/kit.zip`);
    expect(response.headers.get('content-disposition')).toBe(
      `attachment; filename="Wachter helm kit.zip"; filename*=UTF-8''W%C3%A4chter%20helm%20kit.zip`,
    );
    expect(new TextDecoder('latin1').decode(await response.arrayBuffer())).toContain('pieces/A.stl');
  });
});
