// The built page with a made-up house behind it: a shelf, a workshop, histories and two books side by side, all kept in memory. It
// answers as the real server does where these pages depend on it (revisions, undo, events), and computes nothing.
import { readFileSync } from 'node:fs';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize, resolve } from 'node:path';
import type { BuildCard, BuildState, HistoryEntry } from '../../src/app/api/api.ts';
import type { Beside } from '../../src/app/api/beside.ts';
import type { Workshop } from '../../src/app/api/workshop.ts';
import { changeBuild } from '../../src/app/server/change-build.ts';
import { BUILT } from './command.ts';

export interface House {
  cards: BuildCard[];
  workshop: Workshop;
  /** One build's page state and history, by id. */
  states: Record<string, BuildState>;
  histories: Record<string, HistoryEntry[]>;
  beside: Beside | null;
}

export interface HouseServer {
  readonly address: string;
  readonly house: House;
  /** What was sent, in order: "PUT /api/workshop/machines/bed-1". */
  readonly asked: string[];
  /** Tells everyone who listens at `path`. */
  tell(path: string, event: string, data: unknown): void;
  /** Answers the next request whose method and path begin so by `status` and a problem; once. */
  refuseNext(begins: string, status: number, detail: string): void;
  close(): Promise<void>;
}

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
};

type Answer = { readonly status: number; readonly body: unknown };
const ok = (body: unknown, status = 200): Answer => ({ status, body });
const refused = (status: number, detail: string, code = 'REQUEST_REFUSED'): Answer => ({
  status,
  body: { type: 'about:blank', title: code, status, detail, code, tryThis: 'Look at it as it is now.' },
});

export async function startHouse(house: House, web = join(BUILT, 'web')): Promise<HouseServer> {
  const streams = new Map<ServerResponse, string>();
  const asked: string[] = [];
  const refusals: { begins: string; answer: Answer }[] = [];
  const tell = (path: string, event: string, data: unknown): void => {
    for (const [to, at] of streams) if (at === path) to.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  };
  const respond = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const url = new URL(request.url ?? '/', 'http://127.0.0.1');
    const path = decodeURIComponent(url.pathname);
    const wanted = `${request.method} ${path}`;
    if (path.startsWith('/api/') && path.endsWith('/events')) {
      const state = house.states[path.split('/')[3] ?? ''];
      if (path.startsWith('/api/builds/') && state === undefined) return void response.writeHead(404).end();
      response.writeHead(200, { 'content-type': 'text/event-stream' }).flushHeaders();
      streams.set(response, path);
      response.on('close', () => streams.delete(response));
      if (state !== undefined) tell(path, 'state', state);
      return;
    }
    if (!path.startsWith('/api/')) return sendFile(resolve(web), path, response);
    asked.push(wanted);
    const at = refusals.findIndex(({ begins }) => wanted.startsWith(begins));
    const body = await jsonOf(request);
    const { status, body: answer } =
      at >= 0 ? refusals.splice(at, 1)[0]!.answer : answerTo(house, wanted, { body, tell });
    response.writeHead(status, { 'content-type': 'application/json' });
    response.end(status === 204 ? '' : JSON.stringify(answer));
  };
  const server = createServer((request, response) => void respond(request, response));
  await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    house,
    asked,
    tell,
    refuseNext: (begins, status, detail) => refusals.push({ begins, answer: refused(status, detail) }),
    async close() {
      for (const each of streams.keys()) each.destroy();
      server.closeAllConnections();
      await new Promise((closed) => server.close(closed));
    },
  };
}

interface Sent {
  readonly body: unknown;
  readonly tell: HouseServer['tell'];
}

function answerTo(house: House, wanted: string, sent: Sent): Answer {
  const [method = '', path = ''] = wanted.split(' ');
  const [, , place = '', id = '', part = ''] = path.split('/');
  if (place === 'workshop') return answerWorkshop(house, { method, kind: id, id: part }, sent);
  if (place === 'beside') return house.beside === null ? refused(404, 'No such book.') : ok(house.beside);
  if (place !== 'builds') return refused(404, 'There is no such page.');
  if (id === 'take-in' || (id === '' && method === 'POST')) return ok({ id: house.cards[0]?.id ?? 'one' }, 201);
  if (id === '') return ok(house.cards);
  if (method === 'DELETE') {
    house.cards = house.cards.filter((card) => card.id !== id);
    return ok(null, 204);
  }
  return answerBuild(house, { method, id, part }, sent);
}

function answerBuild(house: House, on: { method: string; id: string; part: string }, { body, tell }: Sent): Answer {
  const { id, part } = on;
  const state = house.states[id];
  if (state === undefined) return refused(404, 'There is no such build.', 'NOT_FOUND');
  if (part === '') return on.method === 'PATCH' ? changeSide(house, id, { body, tell }) : ok(state);
  const history = house.histories[id] ?? [];
  if (part === 'history') return ok(history);
  const number = (body as { version?: number }).version;
  const known = history.find((entry) => entry.number === number);
  if (part === 'restore' && known === undefined) return refused(404, `There is no version ${number}.`, 'NOT_FOUND');
  const from = history.find(({ stands }) => stands)!;
  const stands = part === 'restore' ? history.length + 1 : from.from!;
  const again: HistoryEntry[] =
    part === 'restore'
      ? [
          {
            number: stands,
            from: from.number,
            madeAt: new Date().toISOString(),
            kind: 'restored',
            says: `Version ${number} again`,
            stands: true,
          },
        ]
      : [];
  house.histories[id] = [...again, ...history.map((entry) => ({ ...entry, stands: entry.number === stands }))];
  house.states[id] = { ...state, version: stands, turn: state.turn + 1, canUndo: true };
  tell(`/api/builds/${id}/events`, 'state', house.states[id]);
  return ok(house.states[id]);
}

/** The text of a side says the new number at once, as the real one does while it computes. */
function changeSide(house: House, id: string, { body, tell }: Sent): Answer {
  const { path, value } = body as { path: string; value: unknown };
  const { beside } = house;
  if (beside === null) return refused(404, 'No such book.');
  const changed = JSON.parse(JSON.stringify(beside), (_key, each: unknown) => {
    if (each === null || typeof each !== 'object' || !('path' in each) || !('s' in each) || each.path !== path)
      return each;
    return { ...each, value: 's' in each && each.s === 'choice' ? JSON.stringify(value) : value };
  }) as Beside;
  const side = beside.left.id === id ? 'left' : 'right';
  const build = changeBuild(beside[side].build, { path, value: value as never });
  if (!build.ok) return refused(422, build.why, build.code);
  house.beside = {
    ...beside,
    [side]: {
      ...changed[side],
      build: build.value,
      computing: { chapter: 'printing', fraction: 0.4, doing: 'timing' },
    },
    comparison: null,
  };
  tell('/api/beside/events', 'beside', house.beside);
  return ok(house.states[id] ?? {});
}

type Named = { readonly id: string; readonly revision: number };

function answerWorkshop(
  house: House,
  on: { readonly method: string; readonly kind: string; readonly id: string },
  { body, tell }: Sent,
): Answer {
  const { workshop } = house;
  if (on.kind === '') return ok(workshop);
  const changed = ((): Workshop | null => {
    if (on.kind === 'maker') {
      if ((body as Named).revision !== workshop.maker.revision) return null;
      return { ...workshop, maker: { ...(body as Workshop['maker']), revision: workshop.maker.revision + 1 } };
    }
    const list = workshop[on.kind as 'machines' | 'materials'] as readonly Named[];
    if (on.method === 'DELETE') return { ...workshop, [on.kind]: list.filter(({ id }) => id !== on.id) };
    if (on.method === 'POST')
      return { ...workshop, [on.kind]: [...list, { ...(body as object), id: `new-${list.length + 1}`, revision: 1 }] };
    const kept = list.find(({ id }) => id === on.id);
    if (kept === undefined) return { ...workshop, [on.kind]: [...list, { ...(body as Named), revision: 1 }] };
    if (kept.revision !== (body as Named).revision) return null;
    const next = { ...(body as Named), revision: kept.revision + 1 };
    return { ...workshop, [on.kind]: list.map((each) => (each.id === on.id ? next : each)) };
  })();
  if (changed === null) return refused(409, 'It was changed in another window meanwhile.', 'OUTDATED');
  house.workshop = changed;
  tell('/api/events', 'workshop', null);
  return ok(changed);
}

async function jsonOf(request: IncomingMessage): Promise<unknown> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  try {
    return JSON.parse(Buffer.concat(chunks).toString()) as unknown;
  } catch {
    return {};
  }
}

function sendFile(web: string, path: string, response: ServerResponse): void {
  const inside = normalize(path.replace(/^\/assets\//, '/'));
  const found = extname(inside) === '' ? join(web, 'index.html') : join(web, inside);
  try {
    const bytes = readFileSync(found);
    response.writeHead(200, { 'content-type': TYPES[extname(found)] ?? 'application/octet-stream' }).end(bytes);
  } catch {
    response.writeHead(404).end();
  }
}
