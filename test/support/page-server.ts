// The built page with a made-up server behind it: one build in whatever state a test wants, its changes kept for the test to read.
import { readFileSync } from 'node:fs';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize, resolve } from 'node:path';
import type { BuildChange, BuildState } from '../../src/app/api/api.ts';
import type { Workshop } from '../../src/app/api/workshop.ts';
import { changeBuild } from '../../src/app/server/change-build.ts';
import { ordinaryWorkshop } from '../../src/workshop/facts/workshop.ts';
import { BUILT } from './command.ts';

export interface PageServer {
  /** Address of the one build's page. */
  readonly address: string;
  readonly home: string;
  /** Every change that was sent, in order. */
  readonly changes: BuildChange[];
  /** Every other call that was sent: "POST copy {...}", "DELETE". */
  readonly calls: string[];
  /** Every model that was sent, with the name it was sent under. */
  readonly models: { readonly name: string; readonly bytes: Uint8Array }[];
  state(): BuildState;
  /** Another state, told to every open page. */
  show(state: Partial<BuildState>): void;
  close(): Promise<void>;
}

export interface GivenPage {
  readonly state: BuildState;
  readonly figure: Uint8Array;
  readonly workshop?: Workshop;
  readonly web?: string;
}

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
};

/** As strict as the real server's. */
const CONTENT_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** Takes changes and undo as the real server does, but computes nothing: text, drawings and figure stay as given. */
export async function startPage(given: GivenPage): Promise<PageServer> {
  const web = resolve(given.web ?? join(BUILT, 'web'));
  const streams = new Set<ServerResponse>();
  const changes: BuildChange[] = [];
  const calls: string[] = [];
  const models: { name: string; bytes: Uint8Array }[] = [];
  const past: BuildState['build'][] = [];
  const undone: BuildState['build'][] = [];
  let state = given.state;
  const tell = (to: ServerResponse): void => void to.write(`event: state\ndata: ${JSON.stringify(state)}\n\n`);
  const show = (next: Partial<BuildState>): void => {
    state = { ...state, ...next, turn: state.turn + 1, canUndo: past.length > 0, canRedo: undone.length > 0 };
    for (const each of streams) tell(each);
  };
  const step = (from: BuildState['build'][], to: BuildState['build'][], steps: number): void => {
    for (let left = steps; left > 0; left--) {
      const build = from.pop();
      if (build === undefined) break;
      to.push(state.build);
      show({ build, version: state.version + 1 });
    }
  };
  const answer = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const { pathname, searchParams } = new URL(request.url ?? '/', 'http://127.0.0.1');
    const call = pathname.replace(`/api/builds/${state.id}`, '');
    const json = (value: unknown, code = 200): void =>
      void response.writeHead(code, { 'content-type': 'application/json' }).end(JSON.stringify(value));
    if (!pathname.startsWith('/api/'))
      return file(join(web, normalize(pathname.replace(/^\/assets\//, '/'))), response);
    if (call === '/events' || pathname === '/api/events') {
      response.writeHead(200, { 'content-type': 'text/event-stream' }).flushHeaders();
      if (call !== '/events') return;
      streams.add(response);
      response.on('close', () => streams.delete(response));
      return tell(response);
    }
    if (call === '/figure') return void response.end(given.figure);
    if (pathname === '/api/workshop') return json(given.workshop ?? ordinaryWorkshop());
    if (pathname === '/api/builds' && request.method === 'POST') {
      models.push({ name: searchParams.get('name') ?? '', bytes: await bodyOf(request) });
      return json({ id: state.id }, 201);
    }
    if (pathname === '/api/builds') return json([]);
    const body = new TextDecoder().decode(await bodyOf(request));
    if (request.method === 'PATCH') {
      const change = JSON.parse(body) as BuildChange;
      changes.push(change);
      const changed = changeBuild(state.build, change);
      if (!changed.ok) return json({ detail: changed.why, tryThis: changed.tryThis, code: changed.code }, 422);
      past.push(state.build);
      undone.length = 0;
      show({ build: changed.value, version: state.version + 1 });
      return json(state);
    }
    if (request.method !== 'GET') calls.push(`${request.method} ${call.slice(1)} ${body}`.trim());
    if (call === '/undo' || call === '/redo') {
      const { steps } = JSON.parse(body) as { steps: number };
      if (call === '/undo') step(past, undone, steps);
      else step(undone, past, steps);
      return json(state);
    }
    if (call === '/copy') return json({ id: 'two' }, 201);
    if (request.method === 'DELETE') return void response.writeHead(204).end();
    json(state);
  };
  const file = (path: string, response: ServerResponse): void => {
    const found = extname(path) === '' ? join(web, 'index.html') : path;
    try {
      const bytes = readFileSync(found);
      const type = TYPES[extname(found)] ?? 'application/octet-stream';
      response.writeHead(200, { 'content-type': type, 'content-security-policy': CONTENT_POLICY }).end(bytes);
    } catch {
      response.writeHead(404).end();
    }
  };
  const server = createServer((request, response) => void answer(request, response));
  await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready));
  const home = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
  return {
    address: `${home}builds/${state.id}`,
    home,
    changes,
    calls,
    models,
    state: () => state,
    show,
    async close() {
      server.closeAllConnections();
      await new Promise((closed) => server.close(closed));
    },
  };
}

async function bodyOf(request: IncomingMessage): Promise<Uint8Array> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  return new Uint8Array(Buffer.concat(chunks));
}
