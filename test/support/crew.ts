// A crew of real threads for tests and benchmarks: its program is bundled from the sources, as the build does.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { buildSync } from 'esbuild';
import { type OpenCrew, openCrew } from '../../src/app/worker/crew.ts';

export interface BuiltCrew {
  open(numThreads: number, options?: { readonly control?: SharedArrayBuffer; readonly silenceS?: number }): OpenCrew;
  /** Ends all threads and removes the program. */
  close(): void;
}

/** source: the file whose program a thread runs; that of the engine unless given. */
export function builtCrew(source = 'src/app/worker/crew-thread.ts'): BuiltCrew {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-crew-'));
  const program = join(folder, 'crew-thread.mjs');
  // bundled whole: the folder has no packages beside it
  buildSync({ entryPoints: [resolve(source)], outfile: program, bundle: true, platform: 'node', format: 'esm' });
  const open: OpenCrew[] = [];
  return {
    open(numThreads, { control = new SharedArrayBuffer(16), ...options } = {}) {
      const crew = openCrew({ script: pathToFileURL(program), numThreads, control, ...options });
      open.push(crew);
      return crew;
    },
    close() {
      for (const crew of open) crew.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
