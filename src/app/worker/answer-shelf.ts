// Whole answers of the engine, kept so that a book that was computed once opens at once, without the engine.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { canonicalJson } from '../../base/canonical-json.ts';
import { sha256OfText } from '../../base/sha256.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import { openBoundedShelf } from './bounded-shelf.ts';
import { kernelVersion } from './kernel-version.ts';
import type { Answer } from './protocol.ts';

/** What the page shows of a book but for its figure, which is a file of its own: the text comes first. */
export type StoredAnswer = Pick<Answer, 'text' | 'summary' | 'drawings' | 'chapters' | 'refusal'>;

export interface AnswerShelf {
  /** The answer to exactly this build by exactly this engine; undefined when it was never computed, or was dropped since. */
  get(build: Build): StoredAnswer | undefined;
  /** The figure of the same; empty where there is none to show. Undefined when it was dropped. */
  figure(build: Build): Uint8Array | undefined;
  put(build: Build, answer: StoredAnswer & Pick<Answer, 'figure'>): void;
}

/** All answers together; the ones not read for the longest go first. A book of 200 thousand triangles is about 3 MB. */
export const MOST_ANSWER_BYTES = 400e6;

/** Answers in `cacheFolder`/answers, under the hash of the build (which names its model by hash) and a stamp of the engine's own script
 *  and kernel, so that a new version never shows an old text. The engine thread puts, the server reads: files appear whole,
 *  the figure before the text. `script`: the engine thread's, as for openEngine. Cost of get: a few ms, a file of some 300 kB. */
export function openAnswerShelf({
  cacheFolder,
  script,
  mostBytes = MOST_ANSWER_BYTES,
}: {
  readonly cacheFolder: string;
  readonly script: URL;
  readonly mostBytes?: number;
}): AnswerShelf {
  const shelf = openBoundedShelf(join(cacheFolder, 'answers'), { mostBytes });
  const stamp = createHash('sha256').update(readFileSync(script)).update(kernelVersion()).digest('hex');
  const keyOf = (build: Build): string => sha256OfText(canonicalJson({ build, stamp }));
  return {
    get(build) {
      const bytes = shelf.get(`${keyOf(build)}-text`);
      return bytes === undefined ? undefined : (JSON.parse(new TextDecoder().decode(bytes)) as StoredAnswer);
    },
    figure: (build) => shelf.get(`${keyOf(build)}-figure`),
    put(build, { text, summary, drawings, chapters, refusal, figure }) {
      const key = keyOf(build);
      const stored: StoredAnswer = { text, summary, drawings, chapters, refusal };
      shelf.put(`${key}-figure`, figure);
      shelf.put(`${key}-text`, new TextEncoder().encode(JSON.stringify(stored)));
    },
  };
}
