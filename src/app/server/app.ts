// The web application: routes with their schemas, who may ask, how trouble is told. What is behind it is handed in.
import fastifySwagger from '@fastify/swagger';
import fastify, { type FastifyInstance } from 'fastify';
import { jsonSchemaTransform, jsonSchemaTransformObject, validatorCompiler } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { LARGEST_JSON_BYTES } from '../api/limits.ts';
import { addGuard } from './guard.ts';
import type { House } from './house.ts';
import { checkDepth } from './json-depth.ts';
import { withoutUnused } from './openapi-parts.ts';
import { addProblemHandlers } from './problem.ts';
import { addBesideRoutes } from './routes/beside-routes.ts';
import { addBuildRoutes } from './routes/build-routes.ts';
import { addDownloadRoutes } from './routes/download-routes.ts';
import { addEventRoutes } from './routes/event-routes.ts';
import { addHistoryRoutes } from './routes/history-routes.ts';
import { addWorkshopRoutes } from './routes/workshop-routes.ts';

/** How long a page may take to send what it asks. */
export interface Patience {
  readonly headersMs: number;
  readonly requestMs: number;
}

/** Twenty seconds for the head; ten minutes for the largest model. */
export const PATIENCE: Patience = { headersMs: 20_000, requestMs: 600_000 };

/** `house` is asked for only when a request is answered, so that the description of the routes needs none. */
export async function openApp(house: () => House, patience: Patience = PATIENCE): Promise<FastifyInstance> {
  const app = fastify({
    bodyLimit: LARGEST_JSON_BYTES,
    forceCloseConnections: true,
    exposeHeadRoutes: false,
    requestTimeout: patience.requestMs,
    http: {
      headersTimeout: patience.headersMs,
      requestTimeout: patience.requestMs,
      connectionsCheckingInterval: Math.min(5000, patience.headersMs / 2),
    },
    routerOptions: { maxParamLength: 200 },
  });
  app.setValidatorCompiler(validatorCompiler);
  // Answers are not checked against their schemas while the program runs: a book would be walked twice. The tests do that.
  app.setSerializerCompiler(() => JSON.stringify);
  addGuard(app);
  addProblemHandlers(app);
  // Forms of other pages may send plain text without asking; nothing here is plain text.
  app.removeContentTypeParser('text/plain');
  // Files are passed on as streams; whoever takes them counts.
  app.addContentTypeParser(['application/octet-stream', 'application/zip'], (_request, body, next) => next(null, body));
  app.addHook('preValidation', checkDepth);
  await app.register(fastifySwagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Helmwright',
        version: '1',
        description: 'What the page asks of its server, on this machine only.',
      },
    },
    transform: jsonSchemaTransform,
    transformObject: (given) => withoutUnused(jsonSchemaTransformObject(given)),
  });
  addBuildRoutes(app, house);
  addHistoryRoutes(app, house);
  addWorkshopRoutes(app, house);
  addBesideRoutes(app, house);
  addDownloadRoutes(app, house);
  addEventRoutes(app, house);
  app.get(
    '/api/openapi.json',
    { schema: { tags: ['description'], summary: 'This description', response: { 200: z.unknown() } } },
    async () => app.swagger(),
  );
  return app;
}
