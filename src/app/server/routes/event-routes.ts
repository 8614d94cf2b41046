// News as server-sent events: of one build, and of the shelf and workshop.
import type { FastifyInstance } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { openEventStream } from '../event-stream.ts';
import type { House } from '../house.ts';
import { problemOf, sendProblem } from '../problem.ts';
import { events, WithId } from './route-schemas.ts';

export function addEventRoutes(app: FastifyInstance, house: () => House): void {
  const routes = app.withTypeProvider<ZodTypeProvider>();
  const tags = ['events'];

  routes.get(
    '/api/builds/:id/events',
    {
      schema: {
        tags,
        summary: 'News of one build',
        params: WithId,
        response: events(
          '`state` carries the whole of GET /api/builds/ID, at once and whenever it has changed; `progress` carries what is being computed, or null; `removed` when the build was taken off the shelf',
        ),
      },
    },
    async (request, reply) => {
      const { sessions } = house();
      const opened = await sessions.open({ id: request.params.id, version: null });
      if (!opened.ok) return sendProblem(reply, problemOf(opened));
      const stream = openEventStream(reply);
      stream.send('state', sessions.state(opened.value));
      stream.onEnd(sessions.listen(opened.value, ({ event, data }) => stream.send(event, data)));
      return reply;
    },
  );

  routes.get(
    '/api/events',
    {
      schema: {
        tags,
        summary: 'News of the shelf and the workshop',
        response: events(
          '`shelf` carries the card of the build that has changed, or null when the shelf should be asked for again; `workshop` carries null',
        ),
      },
    },
    async (_request, reply) => {
      const stream = openEventStream(reply);
      stream.onEnd(house().events.listen(({ event, data }) => stream.send(event, data)));
      return reply;
    },
  );
}
