// What travels between page and server about one build and about the shelf, as schemas both sides share.
import { z } from 'zod';
import type { BookSummary } from '../../workshop/book/book-summary.ts';
import type { BookText, Decision, Drawings } from '../../workshop/book/book-text.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import type { Machine } from '../../workshop/process/machine.ts';
import type { Material } from '../../workshop/process/material.ts';

/** One build on the shelf: GET /api/builds -> BuildCard[], newest change first. */
export interface BuildCard {
  readonly id: string;
  readonly title: string;
  readonly file: string;
  readonly changedAt: string;
  readonly begunAt: string;
  /** 'not computed': nobody has asked yet, or it was stopped. */
  readonly state: 'computed' | 'computing' | 'refused' | 'not computed' | 'trouble';
  /** One sentence, see BookSummary.says; or how far it is; or why there is trouble. */
  readonly says: string;
  readonly next: Decision | null;
  /** A small line drawing of it, or null. */
  readonly thumbnail: string | null;
}

/** GET /api/builds/:id.  `text` is null until the first chapter has been computed; afterwards it is the last known text, also while
 *  a newer one is being computed (`computing` is then not null). `stale` names the chapters whose text is older than the build. */
export interface BuildState {
  readonly id: string;
  /** Raised by every change of the build or of its text; the page drops older answers. */
  readonly turn: number;
  readonly build: Build;
  /** Number of the version that stands, see history. */
  readonly version: number;
  readonly text: BookText | null;
  readonly summary: BookSummary | null;
  readonly drawings: Drawings;
  readonly computing: Computing | null;
  readonly stale: readonly string[];
  /** Raised when the figure has changed and should be fetched again: GET /api/builds/:id/figure (see figure-codec.ts). */
  readonly figureTurn: number;
  /** 'draft': a thinned figure of the model as it came, shown until the real one is there. */
  readonly figureIs: 'none' | 'draft' | 'whole';
  /** Why the last computation gave nothing at all (the file could not be read, a bug); null when it ended well. */
  readonly trouble: Problem | null;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** Newer records of the workshop than those frozen in the build; taken over only when the maker says so. */
  readonly offers: readonly Offer[];
}

/** PATCH { path, value } takes it over. */
export interface Offer {
  readonly path: string;
  /** "machine 220 x 220 x 250 mm" */
  readonly name: string;
  /** "Outer pass speed 40 to 60 mm/s, ..." */
  readonly says: string;
  readonly value: Machine | Material;
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

/** POST /api/builds/:id/undo and /redo -> BuildState */
export const BuildSteps = z.strictObject({ steps: z.int().min(1).max(1000).default(1) });
export type BuildSteps = z.infer<typeof BuildSteps>;

/** POST /api/builds/:id/copy -> { id }: a second book of the same model, begun from version `version` (or as it stands), with
 *  `change` applied. */
export const BuildCopy = z.strictObject({
  name: z.string().min(1).max(120),
  version: z.int().min(1).optional(),
  change: BuildChange.optional(),
});
export type BuildCopy = z.infer<typeof BuildCopy>;

/** POST /api/builds/:id/restore -> BuildState: version `version` stands again, as a new version. */
export const BuildRestore = z.strictObject({ version: z.int().min(1) });
export type BuildRestore = z.infer<typeof BuildRestore>;

/** GET /api/builds/:id/history -> HistoryEntry[], newest first. */
export interface HistoryEntry {
  readonly number: number;
  readonly from: number | null;
  readonly madeAt: string;
  readonly kind: 'begun' | 'set' | 'restored';
  /** "Layer height: 0.2 mm to 0.28 mm"; "Begun"; "Version 3 of 27 November again". */
  readonly says: string;
  readonly stands: boolean;
}

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
 *  `progress` carries Computing or null; `removed` when the build was taken off the shelf.
 *  Further calls: POST /api/builds?name=FILE (body: the model's bytes, application/octet-stream) -> { id };
 *  POST /api/builds/take-in (body: an exported zip, application/zip) -> { id }; DELETE /api/builds/:id -> 204;
 *  POST /api/builds/:id/cancel -> BuildState;
 *  GET /api/builds/:id/kit.zip, /kit.3mf, /book.html, /build.json, /plan.json, /whole.zip (build file, model, log): downloads. */
export type ServerEvent =
  | { readonly event: 'state'; readonly data: BuildState }
  | { readonly event: 'progress'; readonly data: Computing | null }
  | { readonly event: 'removed'; readonly data: null };

/** GET /api/events, server-sent events: something on these pages has changed and should be asked for again. `shelf` also carries the
 *  card of the one build that changed, when it is one. */
export type HouseEvent =
  | { readonly event: 'shelf'; readonly data: BuildCard | null }
  | { readonly event: 'workshop'; readonly data: null };
