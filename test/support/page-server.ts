// The built page with a made-up server behind it: one build in whatever state a test wants, its changes kept for the test to read.
import { readFileSync } from 'node:fs';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize, resolve } from 'node:path';
import type { BuildChange, BuildState } from '../../src/app/api/api.ts';
import { changeBuild } from '../../src/app/server/change-build.ts';
import { BUILT } from './command.ts';

export interface PageServer {
  /** Address of the one build's page. */
  readonly address: string;
  readonly home: string;
  /** Every change that was sent, in order. */
  readonly changes: BuildChange[];
  /** Every model that was sent, with the name it was sent under. */
  readonly models: { readonly name: string; readonly bytes: Uint8Array }[];
  state(): BuildState;
  close(): Promise<void>;
}

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
};

/** Takes changes and undo as the real server does, but computes nothing: text, drawings and figure stay as given. */
export async function startPage(given: {
  readonly state: BuildState;
  readonly figure: Uint8Array;
  readonly web?: string;
}): Promise<PageServer> {
  const web = resolve(given.web ?? join(BUILT, 'web'));
  const streams = new Set<ServerResponse>();
  const changes: BuildChange[] = [];
  const models: { name: string; bytes: Uint8Array }[] = [];
  const past: BuildState['build'][] = [];
  let state = given.state;
  const tell = (to: ServerResponse): void => void to.write(`event: state\ndata: ${JSON.stringify(state)}\n\n`);
  const put = (build: BuildState['build']): void => {
    state = { ...state, build, turn: state.turn + 1, canUndo: past.length > 0 };
    for (const each of streams) tell(each);
  };
  const answer = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const url = new URL(request.url ?? '/', 'http://127.0.0.1');
    const json = (value: unknown, code = 200): void =>
      void response.writeHead(code, { 'content-type': 'application/json' }).end(JSON.stringify(value));
    if (url.pathname.endsWith('/events')) {
      response.writeHead(200, { 'content-type': 'text/event-stream' });
      streams.add(response);
      response.on('close', () => streams.delete(response));
      tell(response);
    } else if (url.pathname.endsWith('/figure')) response.end(given.figure);
    else if (url.pathname === '/api/builds' && request.method === 'POST') {
      models.push({ name: url.searchParams.get('name') ?? '', bytes: await bodyOf(request) });
      json({ id: 'one' }, 201);
    } else if (url.pathname === '/api/builds') json([]);
    else if (request.method === 'PATCH') {
      const change = JSON.parse(new TextDecoder().decode(await bodyOf(request))) as BuildChange;
      changes.push(change);
      const changed = changeBuild(state.build, change);
      if (!changed.ok) return json({ detail: changed.why, tryThis: changed.tryThis, code: changed.code }, 400);
      past.push(state.build);
      put(changed.value);
      json(state);
    } else if (url.pathname.endsWith('/undo')) {
      const build = past.pop();
      if (build !== undefined) put(build);
      json(state);
    } else file(join(web, normalize(url.pathname.replace(/^\/assets\//, '/'))), response);
  };
  const file = (path: string, response: ServerResponse): void => {
    const found = extname(path) === '' ? join(web, 'index.html') : path;
    try {
      const bytes = readFileSync(found);
      response.writeHead(200, { 'content-type': TYPES[extname(found)] ?? 'application/octet-stream' }).end(bytes);
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
    models,
    state: () => state,
    async close() {
      for (const each of streams) each.destroy();
      await new Promise((closed) => server.close(closed));
    },
  };
}

async function bodyOf(request: IncomingMessage): Promise<Uint8Array> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  return new Uint8Array(Buffer.concat(chunks));
}
