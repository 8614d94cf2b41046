// Opens an address in the maker's browser, if there is one; the address is printed anyway.
import { spawn } from 'node:child_process';

export function openInBrowser(address: string): void {
  const [command, ...args] =
    process.platform === 'darwin'
      ? ['open', address]
      : process.platform === 'win32'
        ? ['cmd', '/c', 'start', '', address]
        : ['xdg-open', address];
  const child = spawn(command!, args, { stdio: 'ignore', detached: true });
  child.on('error', () => {});
  child.unref();
}
