// What a maker takes home: the kit, its single files, and the whole build as one archive.
import type { FastifyInstance, FastifyReply } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { refuse } from '../../../base/findings.ts';
import { attachment, savedAs } from '../file-names.ts';
import type { House } from '../house.ts';
import { problemOf, sendProblem } from '../problem.ts';
import { archiveOf } from '../write-archive.ts';
import { zipStream } from '../zip-stream.ts';
import { file, WithId } from './route-schemas.ts';

/** Single files of the kit: type, how the saved name ends, what it is. */
const FILES = {
  'kit.3mf': { type: 'model/3mf', ending: ' pieces.3mf', says: 'All pieces as they are printed' },
  'book.html': { type: 'text/html; charset=utf-8', ending: '.html', says: 'The book as one page that needs no server' },
  'build.json': { type: 'application/json', ending: ' build.json', says: 'The build file' },
  'plan.json': { type: 'application/json', ending: ' plan.json', says: 'Every piece, seam and print in numbers' },
} as const;

export function addDownloadRoutes(app: FastifyInstance, house: () => House): void {
  const routes = app.withTypeProvider<ZodTypeProvider>();
  const tags = ['downloads'];

  for (const [name, { type, ending, says }] of Object.entries(FILES))
    routes.get(
      `/api/builds/:id/${name}`,
      { schema: { tags, summary: says, params: WithId, response: file(type, says) } },
      async (request, reply) => {
        const kit = await house().kits.make(request.params.id);
        if (!kit.ok) return sendProblem(reply, problemOf(kit));
        const found = kit.value.files.get(name);
        if (found === undefined) return sendProblem(reply, problemOf(refuse('NOT_FOUND', `The kit has no ${name}.`)));
        const bytes = typeof found === 'string' ? Buffer.from(found) : asBuffer(found);
        return download(reply, { type, name: savedAs(kit.value.build.name, ending) }).send(bytes);
      },
    );

  routes.get(
    '/api/builds/:id/kit.zip',
    {
      schema: {
        tags,
        summary: 'The kit: piece files, book, plan and build file',
        params: WithId,
        response: file('application/zip', 'The kit'),
      },
    },
    async (request, reply) => {
      const kit = await house().kits.make(request.params.id);
      if (!kit.ok) return sendProblem(reply, problemOf(kit));
      const parts = [...kit.value.files].map(([name, from]) => ({ name, from }));
      return download(reply, { type: 'application/zip', name: savedAs(kit.value.build.name, ' kit.zip') }).send(
        zipStream(parts),
      );
    },
  );

  routes.get(
    '/api/builds/:id/whole.zip',
    {
      schema: {
        tags,
        summary: 'The whole build: build file, model, every version; for keeping, or for taking in elsewhere',
        params: WithId,
        response: file('application/zip', 'README.txt, build.json, model/FILE, log.json'),
      },
    },
    async (request, reply) => {
      const archive = await archiveOf(house().store, request.params.id);
      if (!archive.ok) return sendProblem(reply, problemOf(archive));
      const name = savedAs(archive.value.build.name, ' whole.zip');
      return download(reply, { type: 'application/zip', name }).send(zipStream(archive.value.parts));
    },
  );
}

function download(reply: FastifyReply, as: { readonly type: string; readonly name: string }): FastifyReply {
  return reply.type(as.type).header('cache-control', 'no-store').header('content-disposition', attachment(as.name));
}

function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
