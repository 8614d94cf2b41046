// Reads a model that has just come in, beside whatever the engine computes, so that a wrong file is refused at once.
import type { Refusal } from '../../base/findings.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import type { Engine } from '../worker/engine-host.ts';

export interface ModelReader {
  /** Null when the file can be read. */
  read(build: Build, path: string): Promise<Refusal | null>;
  close(): Promise<void>;
}

/** `engine`: one of its own, on the cache of the computing one, which then finds the mesh there. Its thread, with the mesh in its
 *  memory, is ended when nothing is left to read. */
export function openModelReader(engine: Pick<Engine, 'read' | 'close'>): ModelReader {
  let reading = 0;
  return {
    async read(build, path) {
      reading++;
      try {
        return await engine.read({ build, model: path });
      } finally {
        reading--;
        if (reading === 0) await engine.close();
      }
    },
    close: () => engine.close(),
  };
}
