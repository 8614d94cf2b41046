// The shelf and its builds: list, begin, read, change, stop, take off.
import type { Readable } from 'node:stream';
import type { FastifyInstance } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { done } from '../../../base/findings.ts';
import { BuildCard, BuildChange, BuildState, NewBuild } from '../../api/api.ts';
import { hangUpSoon } from '../hang-up.ts';
import type { House } from '../house.ts';
import { answer, problemOf, sendProblem } from '../problem.ts';
import type { Session } from '../session.ts';
import { cardOf } from '../shelf-cards.ts';
import { takeInArchive } from '../take-in.ts';
import { announcedTooLarge, takeModel, tooLarge } from '../take-model.ts';
import { bytes, file, NOTHING, REFUSED, WithId } from './route-schemas.ts';

export function addBuildRoutes(app: FastifyInstance, house: () => House): void {
  const routes = app.withTypeProvider<ZodTypeProvider>();
  const tags = ['builds'];

  routes.get(
    '/api/builds',
    { schema: { tags, summary: 'All builds, newest change first', response: { 200: z.array(BuildCard), ...REFUSED } } },
    async (_request, reply) => {
      const { store, sessions } = house();
      const builds = await store.listBuilds();
      return answer(reply, done(builds.map((stored) => cardOf(stored, sessions.known(stored.id)))));
    },
  );

  routes.post(
    '/api/builds',
    {
      schema: {
        tags,
        summary: 'Begins a build with a model file',
        description: 'The body is streamed to disk; a file that cannot be read, or is too large, leaves no build.',
        querystring: z.strictObject({ name: z.string().max(400).default('model').describe('Name of the file') }),
        consumes: ['application/octet-stream'],
        body: bytes('The model: STL, OBJ, PLY, OFF, glTF or 3MF'),
        response: { 201: NewBuild, ...REFUSED },
      },
    },
    async (request, reply) => {
      const { store, reader, workshop, changes, limits } = house();
      const large = announcedTooLarge(request.headers['content-length'], limits.modelBytes);
      if (large !== null) {
        hangUpSoon(request);
        return sendProblem(reply, problemOf(large));
      }
      const taken = await takeModel(
        { store, reader, workshop, changes, mostBytes: limits.modelBytes },
        { name: request.query.name, body: request.body as Readable },
      );
      if (!taken.ok) hangUpSoon(request);
      return answer(reply, taken, 201);
    },
  );

  routes.post(
    '/api/builds/take-in',
    {
      schema: {
        tags,
        summary: 'Takes in a build that was taken out as whole.zip',
        description:
          'Its parts, names, sizes, hashes and versions are checked; what does not hold leaves nothing behind.',
        consumes: ['application/zip'],
        body: bytes('The archive'),
        response: { 201: NewBuild, ...REFUSED },
      },
    },
    async (request, reply) => {
      const { store, events, limits } = house();
      const { archiveBytes } = limits;
      const announced = Number(request.headers['content-length'] ?? 0);
      const archive = announced > archiveBytes ? null : await wholeBody(request.body as Readable, archiveBytes);
      if (archive === null) {
        hangUpSoon(request);
        return sendProblem(reply, problemOf(tooLarge('The archive', archiveBytes)));
      }
      return answer(reply, await takeInArchive({ store, house: events, mostBytes: limits.modelBytes }, archive), 201);
    },
  );

  routes.get(
    '/api/builds/:id',
    { schema: { tags, summary: 'A build with its book as far as it is known', params: WithId, response: STATE } },
    async (request, reply) => answer(reply, await ofBuild(house(), request.params.id, 'read')),
  );

  routes.patch(
    '/api/builds/:id',
    {
      schema: {
        tags,
        summary: 'Sets one value of the build',
        description:
          'Kept as a new version before it is answered; what follows from it is computed afterwards and told by events.',
        params: WithId,
        body: BuildChange,
        response: STATE,
      },
    },
    async (request, reply) => answer(reply, await house().changes.change(request.params.id, request.body)),
  );

  routes.delete(
    '/api/builds/:id',
    {
      schema: {
        tags,
        summary: 'Takes a build off the shelf, with its history',
        params: WithId,
        response: NOTHING,
      },
    },
    async (request, reply) => answer(reply, await house().changes.remove(request.params.id), 204),
  );

  for (const [way, summary] of [
    ['cancel', 'Stops computing; what is known stays'],
    ['compute', 'Goes on after it was stopped or failed'],
  ] as const)
    routes.post(
      `/api/builds/:id/${way}`,
      { schema: { tags, summary, params: WithId, response: STATE } },
      async (request, reply) => answer(reply, await ofBuild(house(), request.params.id, way)),
    );

  routes.get(
    '/api/builds/:id/figure',
    {
      schema: {
        tags,
        summary: 'The figure as one block of bytes',
        params: WithId,
        response: file('application/octet-stream', 'See src/app/api/figure-codec.ts; empty when there is none yet'),
      },
    },
    async (request, reply) => {
      const opened = await house().sessions.open({ id: request.params.id, version: null });
      if (!opened.ok) return sendProblem(reply, problemOf(opened));
      const { figure } = opened.value;
      return reply
        .type('application/octet-stream')
        .header('cache-control', 'no-store')
        .send(Buffer.from(figure.buffer, figure.byteOffset, figure.byteLength));
    },
  );
}

const STATE = { 200: BuildState, ...REFUSED } as const;

async function ofBuild({ sessions }: House, id: string, what: 'read' | 'cancel' | 'compute') {
  const opened = await sessions.open({ id, version: null });
  if (!opened.ok) return opened;
  const does: Readonly<Record<typeof what, (session: Session) => BuildState>> = {
    read: sessions.state,
    cancel: sessions.stop,
    compute: sessions.compute,
  };
  return done(does[what](opened.value));
}

/** Null when there is more than `most`; what is left of it is then not read. */
async function wholeBody(body: Readable, most: number): Promise<Uint8Array | null> {
  const chunks: Buffer[] = [];
  let bytesRead = 0;
  for await (const chunk of body.iterator({ destroyOnReturn: false })) {
    bytesRead += (chunk as Buffer).length;
    if (bytesRead > most) return null;
    chunks.push(chunk as Buffer);
  }
  return Buffer.concat(chunks);
}
