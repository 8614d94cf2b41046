// One job of the engine from end to end, in this thread, on a small model.
import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decodeFigure } from '../../../../src/app/api/figure-codec.ts';
import { type AnswerShelf, openAnswerShelf } from '../../../../src/app/worker/answer-shelf.ts';
import { openMeshStore, openRecords, openShelf } from '../../../../src/app/worker/engine-shelves.ts';
import { type EngineMeans, runJob } from '../../../../src/app/worker/job.ts';
import type { Answer, BookJob } from '../../../../src/app/worker/protocol.ts';
import type { Outcome } from '../../../../src/base/findings.ts';
import { writeStl } from '../../../../src/documents/stl/write-stl.ts';
import type { SolidKernel } from '../../../../src/geometry/solid/solid.ts';
import { type Build, newBuild } from '../../../../src/workshop/book/build-file.ts';
import { testKernel } from '../../../support/kernel.ts';
import { SMALL_HELM } from '../../../support/small-books.ts';

const folder = mkdtempSync(join(tmpdir(), 'helmwright-job-'));
const model = writeStl(SMALL_HELM, { title: 'small' });
const path = join(folder, 'model');
const build = newBuild({ name: 'Small helm', file: 'small.stl', sha256: hashOf(model) });
let solid: SolidKernel;

beforeAll(async () => {
  writeFileSync(path, model);
  solid = await testKernel();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A new engine over what is kept in `cache`; null: nothing is kept. */
function engine(cache: string | null): EngineMeans {
  const shelf = openShelf(cache === null ? null : join(folder, cache), 1e9);
  return { meshes: openMeshStore(shelf), records: openRecords(shelf), solid, webAssets: '', tick: () => {} };
}

function run(means: EngineMeans, job: Partial<BookJob> = {}): { outcome: Outcome<Answer>; heard: string[] } {
  const heard: string[] = [];
  const full: BookJob = { id: 1, build, model: path, want: 'book', draft: true, ...job };
  const outcome = runJob(full, means, {
    chapter: (news, text) => {
      expect(text).toMatchObject({ name: news.name, state: news.state, fingerprint: news.fingerprint });
      heard.push(`${news.name} ${news.reused ? 'kept' : 'new'}`);
    },
    draft: (figure) => {
      const { parts, asRead } = decodeFigure(figure.slice().buffer);
      heard.push(`draft of ${asRead!.triangles.length / 3} triangles, ${parts.length} parts`);
    },
  });
  return { outcome, heard };
}

function answerOf(outcome: Outcome<Answer>): Answer {
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome.value;
}

function hashOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

const ALL_NEW = [
  'model new',
  'wearer new',
  'pieces new',
  'joints new',
  'printing new',
  'beds new',
  'assembly new',
  'surface new',
];
const ALL_KEPT = [
  'model kept',
  'wearer kept',
  'pieces kept',
  'joints kept',
  'printing kept',
  'beds kept',
  'assembly kept',
  'surface kept',
];
const DRAFT = `draft of ${SMALL_HELM.triangles.length / 3} triangles, 0 parts`;

describe('a job', () => {
  it('shows the model as it came first, then each chapter with its text, then all', () => {
    const means = engine(null);
    const { outcome, heard } = run(means);
    expect(heard).toEqual([DRAFT, ...ALL_NEW]);
    const { text, summary, drawings, figure } = answerOf(outcome);
    expect(text.chapters.map(({ state }) => state)).toEqual(Array(8).fill('computed'));
    expect(summary.numbers.pieces).toBe(1);
    expect(Object.keys(drawings)).toEqual([
      'thumb',
      'whole',
      'rings',
      'filling',
      'reach',
      'piece-A',
      'scars-A',
      'bed-1',
      'bed-hours',
    ]);
    expect(drawings.thumb!.length).toBeLessThan(11_000);
    expect(decodeFigure(figure.slice().buffer).parts.map(({ id }) => id)).toEqual(['A']);
    expect(run(means).heard).toEqual(ALL_KEPT);
  });

  it('makes no draft that nobody asked for', () => {
    expect(run(engine(null), { draft: false }).heard).toEqual(ALL_NEW);
    expect(run(engine(null), { want: 'check' }).heard).toEqual(['model new', 'wearer new']);
  });

  it('reads a model by its path or from bytes, and opens no file whose mesh is kept', () => {
    const means = engine(null);
    const byPath = answerOf(run(means).outcome);
    const gone = run(means, { model: join(folder, 'not there') });
    expect(gone.heard).toEqual(ALL_KEPT);
    expect(answerOf(run(engine(null), { model }).outcome).text).toEqual(byPath.text);
  });

  it('refuses a file that is not there, and bytes that are not those of the build', () => {
    expect(run(engine(null), { model: join(folder, 'not there') }).outcome).toMatchObject({ code: 'MODEL_MISSING' });
    const other = model.slice();
    other[90] = other[90]! ^ 1;
    expect(run(engine(null), { model: other }).outcome).toMatchObject({ code: 'MODEL_MISSING' });
    const means = engine(null);
    run(means);
    expect(run(means, { model: other }).outcome).toMatchObject({ code: 'MODEL_MISSING' });
  });

  it('draws and thins nothing anew when only the infill has changed', () => {
    const doing: string[] = [];
    const means = {
      ...engine(null),
      tick: (_chapter: string, _fraction: number, what: string) => void doing.push(what),
    };
    const first = answerOf(run(means).outcome);
    expect(doing).toContain('drawing');
    doing.length = 0;
    const { outcome, heard } = run(means, { build: { ...build, print: { ...build.print, infillPercent: 20 } } });
    expect(heard).toEqual([
      'model kept',
      'wearer kept',
      'pieces kept',
      'joints kept',
      'printing new',
      'beds new',
      'assembly kept',
      'surface new',
    ]);
    expect(doing).not.toContain('drawing');
    const { drawings, figure } = answerOf(outcome);
    expect(drawings.whole).toBe(first.drawings.whole);
    expect(figure.length).toBe(first.figure.length);
  });

  it('computes again what its kept results can no longer be read from', () => {
    const first = answerOf(run(engine('cache')).outcome);
    for (const name of readdirSync(join(folder, 'cache')))
      if (name.startsWith('mesh-')) rmSync(join(folder, 'cache', name));
    const changed: Build = { ...build, print: { ...build.print, layerMm: 0.24 } };
    const again = run(engine('cache'), { build: changed });
    expect(again.heard.slice(-8)).toEqual(ALL_NEW);
    expect(answerOf(again.outcome).text.chapters.slice(0, 3)).toEqual(first.text.chapters.slice(0, 3));
    const third = run(engine('cache'));
    expect(third.heard).toEqual(ALL_KEPT);
    expect(answerOf(third.outcome)).toEqual({ ...first, chapters: expect.anything() });
  });
});

describe('answers on a shelf', () => {
  const script = join(folder, 'engine.js');
  const open = (code: string): AnswerShelf => {
    writeFileSync(script, code);
    return openAnswerShelf({ cacheFolder: join(folder, 'kept'), script: new URL(`file://${script}`) });
  };

  it('come back whole to the same build and the same engine only', () => {
    const answer = answerOf(run(engine(null)).outcome);
    open('one').put(build, answer);
    const { text, summary, drawings, chapters, refusal } = answer;
    const found = open('one').get({ ...build });
    expect(found).toEqual({ text, summary, drawings, chapters, refusal });
    expect([...open('one').figure(build)!]).toEqual([...answer.figure]);
    expect(open('one').get({ ...build, name: 'Another title' })).toBeUndefined();
    expect(open('two').get(build)).toBeUndefined();
    expect(open('two').figure(build)).toBeUndefined();
  });
});
