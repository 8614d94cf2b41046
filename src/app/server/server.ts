// The page's server: this machine only, no third party, one data folder.
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import fastify, { type FastifyInstance, type FastifyReply } from 'fastify';
import { openFileStore } from '../../store/file-store.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import { ENGINE_SCRIPT, KERNEL_LIMIT_S, WEB_ASSETS } from '../installed.ts';
import { openEngine } from '../worker/engine-host.ts';
import { bugProblem } from './problem.ts';
import { addRoutes } from './routes.ts';
import { openSessions } from './sessions.ts';

export interface Server {
  /** http://127.0.0.1:PORT/ */
  readonly address: string;
  /** Puts a build on the list and returns its id. */
  addBuild(input: { readonly build: Build; readonly model: Uint8Array }): string;
  close(): Promise<void>;
}

const CONTENT_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** Binds to the loopback address only. Port 0 takes any free port. */
export async function openServer(options: {
  readonly dataFolder: string;
  readonly port: number;
}): Promise<Server | 'port taken'> {
  const engine = openEngine({
    cacheFolder: join(options.dataFolder, 'cache'),
    script: ENGINE_SCRIPT,
    webAssets: WEB_ASSETS,
    kernelLimitS: KERNEL_LIMIT_S,
  });
  const sessions = openSessions(openFileStore(options.dataFolder), engine);
  const app = fastify({ bodyLimit: 800e6, forceCloseConnections: true });
  guard(app);
  addRoutes(app, sessions);
  await app.register(fastifyStatic, { root: WEB_ASSETS, prefix: '/assets/', index: false });
  for (const path of ['/', '/builds/:id'])
    app.get(path, (_request, reply: FastifyReply) => reply.sendFile('index.html'));
  try {
    await app.listen({ host: '127.0.0.1', port: options.port });
  } catch (error) {
    await engine.close();
    if ((error as NodeJS.ErrnoException).code === 'EADDRINUSE') return 'port taken';
    throw error;
  }
  const address = app.server.address();
  const port = typeof address === 'object' && address !== null ? address.port : options.port;
  return {
    address: `http://127.0.0.1:${port}/`,
    addBuild: ({ build, model }) => sessions.add(build, model),
    async close() {
      await engine.close();
      await app.close();
    },
  };
}

/** Refuses other hosts and foreign origins, and sends the content policy with every answer. */
function guard(app: FastifyInstance): void {
  app.addHook('onRequest', async (request, reply) => {
    void reply.headers({
      'content-security-policy': CONTENT_POLICY,
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
    });
    const host = (request.headers.host ?? '').replace(/:\d+$/, '');
    const { origin } = request.headers;
    const foreign = origin !== undefined && !/^http:\/\/(127\.0\.0\.1|localhost)(:\d+)?$/.test(origin);
    if ((host !== '127.0.0.1' && host !== 'localhost') || foreign) {
      await reply.code(403).send({ title: 'FOREIGN', detail: 'Only pages of this program on this machine may ask.' });
    }
  });
  app.setErrorHandler((error: { statusCode?: number; message: string }, _request, reply) => {
    const status = error.statusCode ?? 500;
    if (status >= 500) return reply.code(500).type('application/problem+json').send(bugProblem(error));
    return reply
      .code(status)
      .type('application/problem+json')
      .send({
        type: 'urn:helmwright:request-refused',
        title: 'REQUEST_REFUSED',
        status,
        detail: status === 413 ? 'The file is larger than 800 MB.' : error.message,
        code: 'REQUEST_REFUSED',
        tryThis: status === 413 ? 'Reduce the number of triangles before exporting.' : 'Reload the page.',
      });
  });
}
