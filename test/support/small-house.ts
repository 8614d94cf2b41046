// The server's application over a store in memory and an engine that writes tiny books: for tests of everything between the two.
import type { AddressInfo } from 'node:net';
import { openApp, type Patience } from '../../src/app/server/app.ts';
import { type House, type HouseLimits, openHouse } from '../../src/app/server/house.ts';
import type { Engine, EngineHooks } from '../../src/app/worker/engine-host.ts';
import type { Answer, BookJob } from '../../src/app/worker/protocol.ts';
import type { Refusal } from '../../src/base/findings.ts';
import { Cancelled } from '../../src/base/work.ts';
import type { Store } from '../../src/store/store.ts';
import type { BookText, ChapterText } from '../../src/workshop/book/book-text.ts';
import { CHAPTER_NAMES } from '../../src/workshop/book/book-text.ts';
import type { Build } from '../../src/workshop/book/build-file.ts';
import { memoryStore } from './memory-store.ts';

/** Everything is decided by the test: what is running, when it ends, and what it ends with. */
export interface HandEngine extends Engine {
  /** Jobs that have begun, in order. */
  readonly begun: readonly { readonly job: Omit<BookJob, 'id' | 'draft'>; readonly hooks: EngineHooks }[];
  /** Ends the running job with the book of its build. */
  finish(): void;
  /** What reading a file comes to. */
  readRefusal: Refusal | null;
}

/** `alone`: jobs end at once by themselves. */
export function handEngine(mode: 'alone' | 'by hand'): HandEngine {
  const begun: { job: Omit<BookJob, 'id' | 'draft'>; hooks: EngineHooks }[] = [];
  let running: { resolve: (answer: Answer) => void; reject: (error: Error) => void; build: Build } | null = null;
  const engine: HandEngine = {
    begun,
    readRefusal: null,
    run: (job, hooks = {}) =>
      new Promise((resolve, reject) => {
        begun.push({ job, hooks });
        running = { resolve, reject, build: job.build };
        if (mode === 'alone') engine.finish();
      }),
    read: () => Promise.resolve(engine.readRefusal),
    makeDemo: () => Promise.reject(new Error('no demo is made here')),
    cancel() {
      running?.reject(new Cancelled());
      running = null;
    },
    finish() {
      running?.resolve(smallAnswer(running.build));
      running = null;
    },
    close: () => Promise.resolve(),
  };
  return engine;
}

export interface SmallHouse {
  readonly house: House;
  readonly store: Store;
  readonly engine: HandEngine;
  /** http://127.0.0.1:PORT */
  readonly origin: string;
  close(): Promise<void>;
}

export async function openSmallHouse(
  options: {
    readonly engine?: 'alone' | 'by hand';
    readonly store?: Store;
    readonly limits?: Partial<HouseLimits>;
    readonly patience?: Patience;
  } = {},
): Promise<SmallHouse> {
  const store = options.store ?? memoryStore();
  const engine = handEngine(options.engine ?? 'alone');
  const house = await openHouse({
    store,
    engine,
    readingEngine: engine,
    answers: { get: () => undefined, figure: () => undefined },
    ...(options.limits === undefined ? {} : { limits: options.limits }),
  });
  const app = await openApp(() => house, options.patience);
  await app.listen({ host: '127.0.0.1', port: 0 });
  const { port } = app.server.address() as AddressInfo;
  return {
    house,
    store,
    engine,
    origin: `http://127.0.0.1:${port}`,
    async close() {
      await app.close();
      await house.close();
      await store.close();
    },
  };
}

export function smallAnswer(build: Build): Answer {
  const text: BookText = {
    kind: 'book-text',
    version: 1,
    title: build.name,
    standfirst: [{ b: 'say', spans: [{ s: 'text', text: 'A small book.' }] }],
    chapters: CHAPTER_NAMES.map((name) => smallChapter(build, name)),
  };
  return {
    text,
    summary: {
      kind: 'book-summary',
      version: 1,
      state: 'computed',
      refusedAt: null,
      says: `One piece, layers of ${build.print.layerMm} mm.`,
      next: null,
      numbers: { pieces: 1, printS: 3600 / build.print.layerMm, browMm: null },
    },
    drawings: {
      thumb: '<svg xmlns="http://www.w3.org/2000/svg"/>',
      whole: '<svg xmlns="http://www.w3.org/2000/svg"/>',
    },
    figure: new TextEncoder().encode(JSON.stringify(build.print)),
    plan: null,
    chapters: [],
    refusal: null,
    files: new Map<string, Uint8Array | string>([
      ['build.json', JSON.stringify(build)],
      ['book.html', '<!doctype html>'],
      ['pieces/A.stl', new Uint8Array([1, 2, 3])],
    ]),
  };
}

export function smallChapter(build: Build, name: ChapterText['name']): ChapterText {
  return {
    name,
    title: name,
    asks: 'What?',
    state: 'computed',
    fingerprint: `${name} ${build.print.layerMm}`,
    decisions: [],
    blocks: [
      {
        b: 'say',
        spans: [
          {
            s: 'number',
            path: 'print.layerMm',
            label: 'Layer height',
            value: build.print.layerMm,
            unit: 'mm',
            digits: 2,
            min: 0.05,
            max: 1,
            step: 0.02,
            usual: 0.2,
            follows: ['printing'],
          },
        ],
      },
    ],
    margin: [],
  };
}

/** The smallest model: one triangle of text STL. */
export const TINY_STL =
  'solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 9 0 0\nvertex 0 9 0\nendloop\nendfacet\nendsolid a\n';

/** Sends a model and gives the id of its build. */
export async function begin(origin: string, name = 'storm-helm.stl', model: BodyInit = TINY_STL): Promise<string> {
  const response = await fetch(`${origin}/api/builds?name=${encodeURIComponent(name)}`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream' },
    body: model,
  });
  const body = (await response.json()) as { id?: string };
  if (response.status !== 201 || body.id === undefined) throw new Error(JSON.stringify(body));
  return body.id;
}

/** A JSON request; the answer's status and body. */
export async function ask(
  origin: string,
  line: string,
  body?: unknown,
): Promise<{ readonly status: number; readonly type: string; readonly body: unknown }> {
  const [method = 'GET', path = '/'] = line.split(' ');
  const response = await fetch(`${origin}${path}`, {
    method,
    ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
  });
  const text = await response.text();
  return {
    status: response.status,
    type: response.headers.get('content-type') ?? '',
    body: text === '' ? null : (JSON.parse(text) as unknown),
  };
}
