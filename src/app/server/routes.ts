// What can be asked of the server; the shapes are in api/api.ts.

import type { FastifyInstance, FastifyReply } from 'fastify';
import { zipSync } from 'fflate';
import { type Outcome, refuse } from '../../base/findings.ts';
import { newBuild } from '../../workshop/book/build-file.ts';
import { BuildChange, type ServerEvent } from '../api/api.ts';
import { titleOf } from '../title-of.ts';
import { problemOf } from './problem.ts';
import { modelHash, type Sessions } from './sessions.ts';

type WithId = { Params: { id: string } };

const DOWNLOADS: Readonly<Record<string, string>> = {
  'kit.3mf': 'model/3mf',
  'book.html': 'text/html; charset=utf-8',
  'build.json': 'application/json',
  'plan.json': 'application/json',
};

export function addRoutes(app: FastifyInstance, sessions: Sessions): void {
  app.addContentTypeParser('application/octet-stream', { parseAs: 'buffer' }, (_request, body, next) =>
    next(null, body),
  );
  app.get('/api/builds', async () => sessions.list());
  app.post<{ Querystring: { name?: string } }>('/api/builds', async (request, reply) => {
    const body = request.body;
    if (!Buffer.isBuffer(body) || body.length === 0)
      return problem(reply, refuse('FILE_UNREADABLE', 'The model file is empty (0 bytes).'));
    const file = fileName(request.query.name ?? 'model');
    const title = titleOf(file);
    const build = newBuild({ name: title, file, sha256: modelHash(body) });
    return reply.code(201).send({ id: sessions.add(build, body) });
  });
  app.get<WithId>('/api/builds/:id', async (request, reply) => answer(reply, sessions.state(request.params.id)));
  app.patch<WithId>('/api/builds/:id', async (request, reply) => {
    const change = BuildChange.safeParse(request.body);
    if (!change.success) return problem(reply, refuse('REQUEST_REFUSED', 'A change has a path and a value.'));
    return answer(reply, sessions.change(request.params.id, change.data));
  });
  app.post<WithId>('/api/builds/:id/undo', async (request, reply) =>
    answer(reply, sessions.step(request.params.id, 'undo')),
  );
  app.post<WithId>('/api/builds/:id/redo', async (request, reply) =>
    answer(reply, sessions.step(request.params.id, 'redo')),
  );
  app.post<WithId>('/api/builds/:id/cancel', async (request, reply) =>
    answer(reply, sessions.cancel(request.params.id)),
  );
  app.get<WithId>('/api/builds/:id/figure', async (request, reply) => {
    const figure = sessions.figure(request.params.id);
    if (!figure.ok) return problem(reply, figure);
    return reply.type('application/octet-stream').header('cache-control', 'no-store').send(Buffer.from(figure.value));
  });
  app.get<WithId>('/api/builds/:id/events', (request, reply) => streamEvents(reply, request.params.id, sessions));
  addDownloads(app, sessions);
}

function addDownloads(app: FastifyInstance, sessions: Sessions): void {
  for (const [name, type] of Object.entries(DOWNLOADS)) {
    app.get<WithId>(`/api/builds/:id/${name}`, async (request, reply) => {
      const kit = await sessions.kit(request.params.id);
      if (!kit.ok) return problem(reply, kit);
      const file = kit.value.get(name);
      if (file === undefined) return problem(reply, refuse('NOT_FOUND', `The kit has no ${name}.`));
      return reply
        .type(type)
        .header('content-disposition', `attachment; filename="${name}"`)
        .send(typeof file === 'string' ? file : Buffer.from(file));
    });
  }
  app.get<WithId>('/api/builds/:id/kit.zip', async (request, reply) => {
    const kit = await sessions.kit(request.params.id);
    if (!kit.ok) return problem(reply, kit);
    const files = Object.fromEntries(
      [...kit.value].map(([name, file]) => [name, typeof file === 'string' ? new TextEncoder().encode(file) : file]),
    );
    return reply
      .type('application/zip')
      .header('content-disposition', 'attachment; filename="kit.zip"')
      .send(Buffer.from(zipSync(files, { level: 1 })));
  });
}

function streamEvents(reply: FastifyReply, id: string, sessions: Sessions): void {
  const send = ({ event, data }: ServerEvent): void => {
    reply.raw.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  };
  const state = sessions.state(id);
  const stop = sessions.listen(id, send);
  if (!state.ok || !stop.ok) {
    void problem(reply, state.ok ? refuse('NOT_FOUND', 'There is no such build.') : state);
    return;
  }
  reply.hijack();
  reply.raw.writeHead(200, {
    'content-type': 'text/event-stream',
    'cache-control': 'no-store',
    connection: 'keep-alive',
  });
  send({ event: 'state', data: state.value });
  reply.raw.on('close', stop.value);
}

function answer<T>(reply: FastifyReply, outcome: Outcome<T>): FastifyReply {
  return outcome.ok ? reply.header('cache-control', 'no-store').send(outcome.value) : problem(reply, outcome);
}

function problem(reply: FastifyReply, refusal: Parameters<typeof problemOf>[0]): FastifyReply {
  const body = problemOf(refusal);
  return reply.code(body.status).type('application/problem+json').send(body);
}

/** The last part of a name as the browser gave it, never used as a path on this machine. */
function fileName(name: string): string {
  const last = name.split(/[\\/]/).at(-1) ?? '';
  const plain = Array.from(last)
    .filter((c) => c >= ' ' && c !== '\u007f')
    .join('')
    .slice(0, 200)
    .trim();
  return plain === '' || plain === '.' || plain === '..' ? 'model' : plain;
}
