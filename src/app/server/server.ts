// The page's server: this machine only, no third party, one store.
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Store } from '../../store/store.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import { openAnswerShelf } from '../worker/answer-shelf.ts';
import { openEngine } from '../worker/engine-host.ts';
import { openApp, type Patience } from './app.ts';
import { type House, type HouseLimits, openHouse } from './house.ts';

export interface Server {
  /** http://127.0.0.1:PORT/ */
  readonly address: string;
  /** Puts a build on the shelf, unless it is there, and returns its id. */
  addBuild(input: { readonly build: Build; readonly model: Uint8Array }): Promise<string>;
  /** Closes everything but the store, which is the caller's. */
  close(): Promise<void>;
}

export interface ServerOptions {
  readonly store: Store;
  /** Results between runs are kept in `cache` in it. */
  readonly dataFolder: string;
  /** 0 takes any free port. */
  readonly port: number;
  readonly installed: {
    readonly engineScript: URL;
    readonly webAssets: string;
    readonly kernelLimitS: number;
  };
  readonly limits?: Partial<HouseLimits>;
  readonly patience?: Patience;
}

const PAGES = ['/', '/workshop', '/builds/:id', '/builds/:id/history', '/beside/:left/:right'];

/** Binds to the loopback address only. */
export async function openServer(options: ServerOptions): Promise<Server | 'port taken'> {
  const { store, installed } = options;
  const cacheFolder = join(options.dataFolder, 'cache');
  const newEngine = () =>
    openEngine({
      cacheFolder,
      script: installed.engineScript,
      webAssets: installed.webAssets,
      kernelLimitS: installed.kernelLimitS,
    });
  const house = await openHouse({
    store,
    engine: newEngine(),
    readingEngine: newEngine(),
    answers: openAnswerShelf({ cacheFolder, script: installed.engineScript }),
    ...(options.limits === undefined ? {} : { limits: options.limits }),
  });
  const app = await openApp(() => house, options.patience);
  await addPages(app, installed.webAssets);
  const close = async (): Promise<void> => {
    await app.close();
    await house.close();
  };
  try {
    await app.listen({ host: '127.0.0.1', port: options.port });
  } catch (error) {
    await close();
    if ((error as NodeJS.ErrnoException).code === 'EADDRINUSE') return 'port taken';
    throw error;
  }
  const address = app.server.address();
  const port = typeof address === 'object' && address !== null ? address.port : options.port;
  return { address: `http://127.0.0.1:${port}/`, addBuild: (input) => addBuild(house, input), close };
}

async function addPages(app: FastifyInstance, webAssets: string): Promise<void> {
  await app.register(fastifyStatic, { root: webAssets, prefix: '/assets/', index: false, schemaHide: true });
  for (const path of PAGES)
    app.get(path, { schema: { hide: true } }, (_request, reply: FastifyReply) => reply.sendFile('index.html'));
}

async function addBuild(
  { store, changes, limits }: House,
  { build, model }: { readonly build: Build; readonly model: Uint8Array },
): Promise<string> {
  await store.takeFile(model, limits.modelBytes);
  return (await changes.add(build)).id;
}
