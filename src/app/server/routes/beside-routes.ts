// Two books side by side, once and as events.
import type { FastifyInstance } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { done, type Outcome, refuse } from '../../../base/findings.ts';
import { type BookRef, readRef } from '../../api/beside.ts';
import { BesideSchema } from '../../api/beside-schema.ts';
import { openEventStream } from '../event-stream.ts';
import type { House } from '../house.ts';
import { answer, problemOf, sendProblem } from '../problem.ts';
import { events, REFUSED } from './route-schemas.ts';

const ref = z.string().min(1).max(80).describe('ID for a build as it stands, ID@NUMBER for one of its versions');
const Refs = z.strictObject({ left: ref, right: ref });

export function addBesideRoutes(app: FastifyInstance, house: () => House): void {
  const routes = app.withTypeProvider<ZodTypeProvider>();
  const tags = ['beside'];

  routes.get(
    '/api/beside',
    {
      schema: {
        tags,
        summary: 'Two books and how they differ; begins whatever is not computed',
        querystring: Refs,
        response: { 200: BesideSchema, ...REFUSED },
      },
    },
    async (request, reply) => {
      const refs = refsOf(request.query);
      return answer(reply, refs.ok ? await house().beside.state(...refs.value) : refs);
    },
  );

  routes.get(
    '/api/beside/events',
    {
      schema: {
        tags,
        summary: 'The same whenever either side has changed',
        querystring: Refs,
        response: events(
          '`beside` carries the whole of GET /api/beside; `removed` when a build was taken off the shelf',
        ),
      },
    },
    async (request, reply) => {
      const refs = refsOf(request.query);
      if (!refs.ok) return sendProblem(reply, problemOf(refs));
      let send = (_event: string, _data: unknown): void => {};
      const listening = await house().beside.listen(...refs.value, (news) =>
        news === 'removed' ? send('removed', null) : send('beside', news),
      );
      if (!listening.ok) return sendProblem(reply, problemOf(listening));
      const stream = openEventStream(reply);
      stream.onEnd(listening.value.stop);
      stream.send('beside', listening.value.now);
      send = stream.send;
      return reply;
    },
  );
}

function refsOf(query: z.infer<typeof Refs>): Outcome<readonly [BookRef, BookRef]> {
  const left = readRef(query.left);
  const right = readRef(query.right);
  if (left !== null && right !== null) return done([left, right]);
  const wrong = left === null ? query.left : query.right;
  return refuse('REQUEST_REFUSED', `"${wrong}" names no book; ID and ID@NUMBER do.`);
}
