// Where the built program's own files are, and with which folders it works by default.
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Every built script lies in dist/, the page's files in dist/web. */
const dist = fileURLToPath(new URL('.', import.meta.url));

export const ENGINE_SCRIPT = new URL('./engine-thread.js', import.meta.url);
export const WEB_ASSETS = join(dist, 'web');
export const DATA_FOLDER = 'helmwright-data';
/** A call into the solid kernel may take this long: ten times the longest measured at two million triangles. */
export const KERNEL_LIMIT_S = 120;
