// The page's server as a command: opens the data folder, serves until it is stopped, closes it whole.
import { refuse } from '../../base/findings.ts';
import { openStore } from '../../store/open-store.ts';
import type { Store } from '../../store/store.ts';
import { DATA_FOLDER, ENGINE_SCRIPT, KERNEL_LIMIT_S, WEB_ASSETS } from '../installed.ts';
import { openServer } from '../server/server.ts';
import type { Arguments } from './arguments.ts';
import { EXIT } from './exit-codes.ts';
import type { Input } from './input.ts';
import { openInBrowser } from './open-in-browser.ts';
import { sayRefusal } from './terminal.ts';

/** Runs `work` with the data folder open; refuses with DATA_FOLDER_IN_USE and the address of the page that has it. */
export async function withStore(args: Arguments, work: (store: Store) => Promise<number>): Promise<number> {
  process.stderr.write(`Opening ${dataFolderOf(args)}.\n`);
  const opened = await openStore({ dataFolder: dataFolderOf(args), databaseUrl: databaseUrl() });
  if (!opened.ok) return sayRefusal(opened, args);
  for (const { say, code } of opened.findings) process.stderr.write(`${say} (${code})\n`);
  try {
    return await work(opened.value);
  } finally {
    await opened.value.close();
  }
}

/** Runs until it is stopped. With an input, that build is on the shelf and its page is the address printed. */
export async function serveStore(store: Store, args: Arguments, input?: Input): Promise<number> {
  const stopped = untilStopped();
  const server = await openServer({
    store,
    dataFolder: dataFolderOf(args),
    port: args.port,
    installed: { engineScript: ENGINE_SCRIPT, webAssets: WEB_ASSETS, kernelLimitS: KERNEL_LIMIT_S },
  });
  if (server === 'port taken')
    return sayRefusal(refuse('PORT_TAKEN', `Port ${args.port} on this machine is taken by another program.`), args);
  store.noteAddress(server.address);
  const page = input === undefined ? server.address : `${server.address}builds/${await server.addBuild(input)}`;
  process.stdout.write(`The book is at ${page}\nStop with Ctrl+C.\n`);
  if (args.open) openInBrowser(page);
  await stopped;
  await server.close();
  return EXIT.done;
}

function untilStopped(): Promise<void> {
  return new Promise((resolve) => {
    process.once('SIGINT', () => resolve());
    process.once('SIGTERM', () => resolve());
  });
}

function dataFolderOf(args: Arguments): string {
  return args.data ?? DATA_FOLDER;
}

function databaseUrl(): string | undefined {
  const { DATABASE_URL } = process.env;
  return DATABASE_URL === undefined || DATABASE_URL === '' ? undefined : DATABASE_URL;
}
