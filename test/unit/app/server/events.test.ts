// News over HTTP: a second page hears of every change, of chapters as they come, of what is removed; so do shelf and comparison.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { BuildCard, BuildState } from '../../../../src/app/api/api.ts';
import type { Beside } from '../../../../src/app/api/beside.ts';
import { BesideSchema } from '../../../../src/app/api/beside-schema.ts';
import { readEvents } from '../../../support/event-reader.ts';
import { ask, begin, openSmallHouse, type SmallHouse, smallChapter } from '../../../support/small-house.ts';

describe('news', () => {
  let small: SmallHouse;
  beforeEach(async () => {
    small = await openSmallHouse({ engine: 'by hand' });
  });
  afterEach(() => small.close());

  const change = (id: string, value: number) =>
    ask(small.origin, `PATCH /api/builds/${id}`, { path: 'print.layerMm', value });

  it('tells a second page of an edit, of the work, of each chapter, and of the end', async () => {
    const id = await begin(small.origin);
    const news = await readEvents(`${small.origin}/api/builds/${id}/events`);
    const first = BuildState.parse(await news.until((event) => event === 'state'));
    expect(first).toMatchObject({ text: null, computing: { doing: 'waiting for the engine' }, figureIs: 'none' });
    const { hooks, job } = small.engine.begun[0]!;
    hooks.draft?.(new Uint8Array([7]));
    await news.until((_event, state: BuildState) => state?.figureIs === 'draft');
    hooks.progress?.('model', 0.25, 'levelling');
    expect(await news.until((event) => event === 'progress')).toEqual({
      chapter: 'model',
      fraction: 0.25,
      doing: 'levelling',
    });
    hooks.chapter?.(
      { name: 'model', state: 'computed', fingerprint: '', reused: false, seconds: 1 },
      smallChapter(job.build, 'model'),
    );
    const partly = BuildState.parse(
      await news.until((_event, state: BuildState) => state?.text?.chapters?.length === 1),
    );
    small.engine.finish();
    const whole = BuildState.parse(await news.until((_event, state: BuildState) => state?.figureIs === 'whole'));
    expect(whole).toMatchObject({ computing: null, stale: [], summary: { state: 'computed' } });
    expect(whole.turn).toBeGreaterThan(partly.turn);
    expect(whole.figureTurn).toBe(2);
    await change(id, 0.3);
    const edited = BuildState.parse(await news.until((_event, state: BuildState) => state?.version === 2));
    expect(edited).toMatchObject({
      stale: ['printing', 'beds', 'surface'],
      build: { print: { layerMm: 0.3 } },
      text: whole.text,
    });
    await fetch(`${small.origin}/api/builds/${id}`, { method: 'DELETE' });
    expect(await news.until((event) => event === 'removed')).toBeNull();
    news.close();
  });

  it('asks for no draft when there is a figure to look at', async () => {
    const id = await begin(small.origin);
    await ask(small.origin, `GET /api/builds/${id}`);
    small.engine.finish();
    await ask(small.origin, `GET /api/builds/${id}`);
    await change(id, 0.3);
    expect(small.engine.begun.map(({ hooks }) => hooks.draft !== undefined)).toEqual([true, false]);
  });

  it('says nothing of an older computation once the build has changed', async () => {
    const id = await begin(small.origin);
    const news = await readEvents(`${small.origin}/api/builds/${id}/events`);
    await news.until((event) => event === 'state');
    const { hooks, job } = small.engine.begun[0]!;
    await change(id, 0.3);
    hooks.chapter?.(
      { name: 'model', state: 'computed', fingerprint: '', reused: false, seconds: 1 },
      smallChapter(job.build, 'model'),
    );
    hooks.progress?.('model', 0.9, 'too late');
    await news.until((_event, state: BuildState) => state?.version === 2);
    small.engine.finish();
    await news.until((_event, state: BuildState) => state?.text !== null && state?.computing === null);
    const texts = news.heard.map(({ data }) => JSON.stringify(data));
    expect(texts.filter((text) => text.includes('too late') || text.includes('model 0.2"'))).toEqual([]);
    news.close();
  });

  it('tells the shelf of a build that has come, is computed, has changed and is gone', async () => {
    const news = await readEvents(`${small.origin}/api/events`);
    const id = await begin(small.origin);
    const card = (state: BuildCard['state']) =>
      news.until((event, data: BuildCard | null) => event === 'shelf' && data?.state === state);
    expect(BuildCard.parse(await card('not computed'))).toMatchObject({
      id,
      title: 'Storm helm',
      says: '',
      next: null,
    });
    await ask(small.origin, `GET /api/builds/${id}`);
    await card('computing');
    small.engine.finish();
    expect(await card('computed')).toMatchObject({
      says: 'One piece, layers of 0.2 mm.',
      thumbnail: expect.any(String),
    });
    await ask(small.origin, 'POST /api/workshop/materials', { name: 'Silk', densityGCm3: 1.2, filamentMm: 1.75 });
    expect(await news.until((event) => event === 'workshop')).toBeNull();
    await fetch(`${small.origin}/api/builds/${id}`, { method: 'DELETE' });
    expect(await news.until((event, data) => event === 'shelf' && data === null)).toBeNull();
    news.close();
  });

  it('keeps what the shelf says between runs, for exactly the build it was said of', async () => {
    const id = await begin(small.origin);
    await ask(small.origin, `GET /api/builds/${id}`);
    small.engine.finish();
    await ask(small.origin, `GET /api/builds/${id}`);
    const later = await openSmallHouse({ engine: 'by hand', store: small.store });
    expect((await ask(later.origin, 'GET /api/builds')).body).toMatchObject([
      { state: 'computed', says: 'One piece, layers of 0.2 mm.' },
    ]);
    await small.store.changeBuild(id, {
      from: 1,
      build: { ...((await small.store.getBuild(id))!.build as object), name: 'Other' },
      path: 'name',
      kind: 'set',
    });
    expect((await ask(later.origin, 'GET /api/builds')).body).toMatchObject([
      { state: 'not computed', title: 'Other', thumbnail: expect.any(String) },
    ]);
    await later.close();
  });
});

describe('two books side by side', () => {
  it('computes both, names them, compares them, and tells when either changes', async () => {
    const small = await openSmallHouse();
    const id = await begin(small.origin);
    await ask(small.origin, `PATCH /api/builds/${id}`, { path: 'print.layerMm', value: 0.3 });
    const refs = `left=${id}@1&right=${id}`;
    const news = await readEvents(`${small.origin}/api/beside/events?${refs}`);
    const compared = BesideSchema.parse(
      await news.until((_event, beside: Beside) => beside?.comparison !== null),
    ) as Beside;
    expect([compared.left.name, compared.right.name]).toEqual(['version 1', 'as it stands']);
    expect([compared.left.live, compared.right.live]).toEqual([false, true]);
    expect(compared.comparison?.paths).toEqual(['print.layerMm']);
    await ask(small.origin, `PATCH /api/builds/${id}`, { path: 'print.infillPercent', value: 30 });
    const after = (await news.until((_event, beside: Beside) => beside?.comparison?.paths.length === 2)) as Beside;
    expect(after.left.build.print).toMatchObject({ layerMm: 0.2, infillPercent: 10 });
    news.close();
    const { body: copy } = await ask(small.origin, `POST /api/builds/${id}/copy`, { name: 'Other helm' });
    const two = await ask(small.origin, `GET /api/beside?left=${id}&right=${(copy as { id: string }).id}`);
    expect(BesideSchema.parse(two.body)).toMatchObject({ left: { name: 'Storm helm' }, right: { name: 'Other helm' } });
    expect((await ask(small.origin, `GET /api/beside?left=${id}@9&right=${id}`)).status).toBe(404);
    await small.close();
  });
});
