// Steps back and forth, the list of versions, an older version again, a copy.
import type { FastifyInstance } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { BuildCopy, BuildRestore, BuildState, BuildSteps, HistoryEntry, NewBuild } from '../../api/api.ts';
import { historyOf } from '../history.ts';
import type { House } from '../house.ts';
import { answer } from '../problem.ts';
import { REFUSED, WithId } from './route-schemas.ts';

export function addHistoryRoutes(app: FastifyInstance, house: () => House): void {
  const routes = app.withTypeProvider<ZodTypeProvider>();
  const tags = ['history'];

  for (const [way, summary] of [
    ['undo', 'Steps back to the version the standing one was made from'],
    ['redo', 'Steps forth again, as long as nothing else was changed'],
  ] as const)
    routes.post(
      `/api/builds/:id/${way}`,
      {
        schema: {
          tags,
          summary,
          description: 'As many steps as there are, up to `steps`; without a body one.',
          params: WithId,
          body: BuildSteps.nullish(),
          response: { 200: BuildState, ...REFUSED },
        },
      },
      async (request, reply) =>
        answer(reply, await house().changes.step(request.params.id, way, request.body?.steps ?? 1)),
    );

  routes.get(
    '/api/builds/:id/history',
    {
      schema: {
        tags,
        summary: 'Every version in words, newest first',
        params: WithId,
        response: { 200: z.array(HistoryEntry), ...REFUSED },
      },
    },
    async (request, reply) => {
      const { store, sessions } = house();
      const { id } = request.params;
      return answer(reply, await historyOf(store, id, sessions.known(id)?.text ?? null));
    },
  );

  routes.post(
    '/api/builds/:id/restore',
    {
      schema: {
        tags,
        summary: 'Lets an older version stand again, as a new version',
        params: WithId,
        body: BuildRestore,
        response: { 200: BuildState, ...REFUSED },
      },
    },
    async (request, reply) => answer(reply, await house().changes.restore(request.params.id, request.body.version)),
  );

  routes.post(
    '/api/builds/:id/copy',
    {
      schema: {
        tags,
        summary: 'A second build of the same model, with its own history',
        params: WithId,
        body: BuildCopy,
        response: { 201: NewBuild, ...REFUSED },
      },
    },
    async (request, reply) => answer(reply, await house().changes.copy(request.params.id, request.body), 201),
  );
}
