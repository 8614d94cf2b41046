// One process owns a data folder. The lock is a listening socket, which the system closes when the process ends, however it ends.
import { createHash } from 'node:crypto';
import { readFileSync, rmSync, statSync } from 'node:fs';
import { connect, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { writeWholeFile } from './whole-files.ts';

/** Who owns the folder, as it says itself in owner.json. */
export interface Owner {
  readonly pid: number;
  /** Where its page is; null when it serves none, or not yet. */
  readonly address: string | null;
  readonly since: string;
}

export interface FolderLock {
  /** Says where the page of this process is. */
  noteAddress(address: string): void;
  release(): Promise<void>;
}

/** How the system lets a name be held: a name outside of any folder, a named pipe, or a socket that lies as a file. */
export type Hold = 'name' | 'pipe' | 'file';

/** The lock, or who has it; null when whoever has it has not said who it is. Weak: docs/methods/store.md. */
export async function lockFolder(
  folder: string,
  hold: Hold = holdOf(process.platform),
): Promise<FolderLock | { readonly takenBy: Owner | null }> {
  const address = addressOf(folder, hold);
  const server = hold === 'file' ? await takeFile(address) : await listen(address);
  const note = join(folder, 'owner.json');
  if (server === null) return { takenBy: await ownerOf(note) };
  const since = new Date().toISOString();
  const say = (page: string | null): void =>
    writeWholeFile(note, `${JSON.stringify({ pid: process.pid, address: page, since } satisfies Owner)}\n`);
  try {
    say(null);
  } catch (error) {
    await closed(server);
    throw error;
  }
  return {
    noteAddress: say,
    async release() {
      rmSync(note, { force: true });
      await closed(server);
    },
  };
}

export function holdOf(platform: NodeJS.Platform): Hold {
  if (platform === 'linux') return 'name';
  return platform === 'win32' ? 'pipe' : 'file';
}

/** By the folder's place on the disk, not by its path: links and mounts to the same folder meet in one lock. */
function addressOf(folder: string, hold: Hold): string {
  const { dev, ino } = statSync(folder, { bigint: true });
  const name = `helmwright-${createHash('sha256').update(`${dev}:${ino}`).digest('hex').slice(0, 32)}`;
  if (hold === 'name') return `\0${name}`;
  return hold === 'pipe' ? `\\\\.\\pipe\\${name}` : join(tmpdir(), `${name}.socket`);
}

/** The server, or null when the address is held. It keeps no process alive and answers with the process's number. */
function listen(address: string): Promise<Server | null> {
  const server = createServer((socket) => socket.end(`${process.pid}`));
  server.unref();
  return new Promise((ready, failed) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE' || error.code === 'EACCES') ready(null);
      else failed(error);
    });
    // Never shared with child processes of this one, which would hold the name after it.
    server.listen({ path: address, exclusive: true }, () => ready(server));
  });
}

/** A file stays behind when its process is killed: when nobody answers on it, it is taken over. Two that take over at once could both
 *  believe to have it, so each looks after a moment whether the answer there is its own. */
async function takeFile(path: string): Promise<Server | null> {
  const server = await listen(path);
  if (server !== null) return server;
  if ((await answer(path)) !== null) return null;
  rmSync(path, { force: true });
  const second = await listen(path);
  if (second === null) return null;
  await wait(200);
  if ((await answer(path)) === `${process.pid}`) return second;
  await closed(second);
  return null;
}

/** What the owner of a socket says; null when nobody listens. */
function answer(path: string): Promise<string | null> {
  return new Promise((said) => {
    const socket = connect(path);
    let text = '';
    socket.setTimeout(2000, () => socket.destroy());
    socket.on('data', (bytes) => {
      text += bytes.toString();
    });
    socket.on('error', () => said(null));
    // Connected but busy is an owner too.
    socket.on('close', () => said(text));
  });
}

/** The note of the owner. Just taken over it may still be that of a dead one: a moment later it is not. */
async function ownerOf(note: string): Promise<Owner | null> {
  for (let tries = 0; tries < 10; tries++) {
    const owner = readOwner(note);
    if (owner !== null && isAlive(owner.pid)) return owner;
    await wait(50);
  }
  return null;
}

function readOwner(note: string): Owner | null {
  try {
    const { pid, address, since } = JSON.parse(readFileSync(note, 'utf8')) as Partial<Owner>;
    if (!Number.isSafeInteger(pid) || typeof since !== 'string') return null;
    return { pid: pid as number, address: typeof address === 'string' ? address : null, since };
  } catch {
    return null;
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

function closed(server: Server): Promise<void> {
  return new Promise((done) => server.close(() => done()));
}
