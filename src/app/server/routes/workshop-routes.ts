// The workshop: machines, materials, the maker's hours and rates.
import type { FastifyInstance } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { done, type Outcome, refuse } from '../../../base/findings.ts';
import { MachineRecord, MaterialRecord } from '../../api/api.ts';
import { MakerRecord, NewMachine, NewMaterial, Workshop } from '../../api/workshop.ts';
import type { House } from '../house.ts';
import { answer } from '../problem.ts';
import { REFUSED } from './route-schemas.ts';

const RecordId = z.strictObject({ id: z.string().regex(/^[a-z0-9-]{1,40}$/) });
const response = { 200: Workshop, ...REFUSED } as const;
const REPLACES =
  'Its revision must be the one that is kept, else 409; what is kept gets the next one. A new id is added.';

export function addWorkshopRoutes(app: FastifyInstance, house: () => House): void {
  const routes = app.withTypeProvider<ZodTypeProvider>();
  const tags = ['workshop'];

  routes.get('/api/workshop', { schema: { tags, summary: 'All of it', response } }, async (_request, reply) =>
    answer(reply, done(await house().workshop.read())),
  );
  routes.put(
    '/api/workshop/machines/:id',
    {
      schema: {
        tags,
        summary: 'Sets a machine',
        description: REPLACES,
        params: RecordId,
        body: MachineRecord,
        response,
      },
    },
    async ({ params, body }, reply) =>
      answer(reply, await named(params.id, body.id, () => house().workshop.put({ kind: 'machine', record: body }))),
  );
  routes.put(
    '/api/workshop/materials/:id',
    {
      schema: {
        tags,
        summary: 'Sets a material',
        description: REPLACES,
        params: RecordId,
        body: MaterialRecord,
        response,
      },
    },
    async ({ params, body }, reply) =>
      answer(reply, await named(params.id, body.id, () => house().workshop.put({ kind: 'material', record: body }))),
  );
  routes.put(
    '/api/workshop/maker',
    { schema: { tags, summary: 'Sets hours and rates', description: REPLACES, body: MakerRecord, response } },
    async ({ body }, reply) => answer(reply, await house().workshop.put({ kind: 'maker', record: body })),
  );
  routes.post(
    '/api/workshop/machines',
    { schema: { tags, summary: 'Adds a machine under a new id', body: NewMachine, response } },
    async ({ body }, reply) => answer(reply, await house().workshop.add({ kind: 'machine', record: body })),
  );
  routes.post(
    '/api/workshop/materials',
    { schema: { tags, summary: 'Adds a material under a new id', body: NewMaterial, response } },
    async ({ body }, reply) => answer(reply, await house().workshop.add({ kind: 'material', record: body })),
  );
  for (const [place, kind] of [
    ['machines', 'machine'],
    ['materials', 'material'],
  ] as const)
    routes.delete(
      `/api/workshop/${place}/:id`,
      { schema: { tags, summary: `Removes a ${kind}; books keep their own copies`, params: RecordId, response } },
      async ({ params }, reply) => answer(reply, await house().workshop.remove(kind, params.id)),
    );
}

async function named(asked: string, sent: string, put: () => Promise<Outcome<Workshop>>): Promise<Outcome<Workshop>> {
  if (asked === sent) return put();
  return refuse('REQUEST_REFUSED', `The record has the id "${sent}", but was sent for "${asked}".`);
}
