// What travels between page and server, as schemas both sides share.
import { z } from 'zod';
import type { BookText, Drawings } from '../../workshop/book/book-text.ts';
import type { Build } from '../../workshop/book/build-file.ts';

/** One build on the list. */
export interface BuildSummary {
  readonly id: string;
  readonly title: string;
  readonly changed: string;
}

/** GET /api/builds/:id.  `text` is null until the first computation has ended; afterwards it is the last known text,
 *  also while a newer one is being computed (`computing` is then not null). `stale` names the chapters whose fingerprints no
 *  longer belong to the build as it stands. */
export interface BuildState {
  readonly id: string;
  /** Raised by every change of the build or of its text; the page drops older answers. */
  readonly turn: number;
  readonly build: Build;
  readonly text: BookText | null;
  readonly drawings: Drawings;
  readonly computing: Computing | null;
  readonly stale: readonly string[];
  /** Raised when the figure has changed and should be fetched again: GET /api/builds/:id/figure (see figure-codec.ts). */
  readonly figureTurn: number;
  /** Why the last computation gave nothing at all (the file could not be read, a bug); null when it ended well. */
  readonly trouble: Problem | null;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

export interface Computing {
  readonly chapter: string;
  readonly fraction: number;
  readonly doing: string;
}

/** PATCH /api/builds/:id */
export const BuildChange = z.strictObject({
  /** Dotted path into the build file, e.g. `print.layerMm` or `machines.0.bedMm.2`. */
  path: z.string().min(1).max(200),
  value: z.json(),
});
export type BuildChange = z.infer<typeof BuildChange>;

/** Every refusal travels as this (application/problem+json, RFC 9457). */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  readonly code: string;
  readonly tryThis: string;
}

/** GET /api/builds/:id/events, server-sent events. `state` carries a whole BuildState whenever anything but progress changes;
 *  `progress` carries Computing or null.
 *  Further calls: GET /api/builds -> BuildSummary[]; POST /api/builds?name=FILE (body: the model's bytes,
 *  application/octet-stream) -> { id }; POST /api/builds/:id/undo, /redo, /cancel -> BuildState;
 *  GET /api/builds/:id/kit.zip, /kit.3mf, /book.html, /build.json: downloads. */
export type ServerEvent =
  | { readonly event: 'state'; readonly data: BuildState }
  | { readonly event: 'progress'; readonly data: Computing | null };
