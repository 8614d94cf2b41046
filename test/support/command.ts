// Runs the built command as a maker would, in a process of its own.
import { type ChildProcess, spawn } from 'node:child_process';
import { join, resolve } from 'node:path';

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Built by `npm run check` before it tests; HELMWRIGHT_BUILT names another build. */
export const BUILT = resolve(process.env.HELMWRIGHT_BUILT ?? 'dist');
const CLI = join(BUILT, 'cli.js');

export function startCommand(
  args: readonly string[],
  cwd = process.cwd(),
): { child: ChildProcess; ended: Promise<Ran> } {
  const child = spawn(process.execPath, [CLI, ...args], { cwd, stdio: ['ignore', 'pipe', 'pipe'] });
  let out = '';
  let err = '';
  child.stdout!.on('data', (chunk: Buffer) => {
    out += chunk.toString();
  });
  child.stderr!.on('data', (chunk: Buffer) => {
    err += chunk.toString();
  });
  const ended = new Promise<Ran>((done) => child.on('close', (code) => done({ code, out, err })));
  return { child, ended };
}

export function runCommandLine(args: readonly string[], cwd?: string): Promise<Ran> {
  return startCommand(args, cwd).ended;
}
