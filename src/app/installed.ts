// Where the built program's own files are, which version it is, and with which folders it works by default.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Every built script lies in dist/, the page's files in dist/web. */
const dist = fileURLToPath(new URL('.', import.meta.url));

export const ENGINE_SCRIPT = new URL('./engine-thread.js', import.meta.url);
export const WEB_ASSETS = join(dist, 'web');
export const DATA_FOLDER = 'helmwright-data';
/** A call into the solid kernel may take this long: ten times the longest measured at two million triangles. */
export const KERNEL_LIMIT_S = 120;

/** The package's version; dist/ lies beside its package.json. */
export function installedVersion(): string {
  const about = JSON.parse(readFileSync(join(dist, '..', 'package.json'), 'utf8')) as { readonly version: string };
  return about.version;
}
