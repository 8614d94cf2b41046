// What travels between page and server about one build and about the shelf, as schemas both sides share.
import { z } from 'zod';
import { Build } from '../../workshop/book/build-file.ts';
import { Machine } from '../../workshop/process/machine.ts';
import { Material } from '../../workshop/process/material.ts';
import { BookSummarySchema, BookTextSchema, DecisionSchema, DrawingsSchema } from './book-schema.ts';

// The same schemas under the names by which the description of the routes tells them.
export const BuildFile = Build.meta({ id: 'Build' });
export const MachineRecord = Machine.meta({ id: 'Machine' });
export const MaterialRecord = Material.meta({ id: 'Material' });

/** One build on the shelf: GET /api/builds -> BuildCard[], newest change first. */
export const BuildCard = z
  .strictObject({
    id: z.string(),
    title: z.string(),
    file: z.string(),
    changedAt: z.iso.datetime(),
    begunAt: z.iso.datetime(),
    state: z
      .enum(['computed', 'computing', 'refused', 'not computed', 'trouble'])
      .describe('not computed: nobody has asked yet, or it was stopped'),
    says: z
      .string()
      .describe('One sentence: the book in a few numbers, or how far it is, or why there is trouble; may be empty'),
    next: DecisionSchema.nullable().describe('What the maker has to decide next'),
    thumbnail: z.string().nullable().describe('A small line drawing, SVG'),
  })
  .readonly()
  .meta({ id: 'BuildCard' });
export type BuildCard = z.infer<typeof BuildCard>;

export const Computing = z
  .strictObject({ chapter: z.string(), fraction: z.number().min(0).max(1), doing: z.string() })
  .readonly()
  .meta({ id: 'Computing' });
export type Computing = z.infer<typeof Computing>;

/** Every refusal travels as this (application/problem+json, RFC 9457). */
export const Problem = z
  .strictObject({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    detail: z.string().describe('What is wrong and where, with the measured value and the limit'),
    code: z.string().describe('See docs/codes.md; BUG when the program itself failed'),
    tryThis: z.string(),
  })
  .readonly()
  .meta({ id: 'Problem' });
export type Problem = z.infer<typeof Problem>;

/** A newer record of the workshop. PATCH { path, value } takes it over. */
export const Offer = z
  .strictObject({
    path: z.string(),
    name: z.string().describe('"machine 220 x 220 x 250 mm"'),
    says: z.string().describe('"Outer pass speed 40 to 60 mm/s, ..."'),
    value: z.union([MachineRecord, MaterialRecord]),
  })
  .readonly()
  .meta({ id: 'Offer' });
export type Offer = z.infer<typeof Offer>;

/** GET /api/builds/:id.  `text` is null until the first chapter has been computed; afterwards it is the last known text, also while
 *  a newer one is being computed (`computing` is then not null), and a first text holds only the chapters that are known so far.
 *  `stale` names the chapters whose text is older than the build. */
export const BuildState = z
  .strictObject({
    id: z.string(),
    turn: z.int().describe('Raised by every change of the build or of its text; older answers are dropped'),
    build: BuildFile,
    version: z.int().min(1).describe('Number of the version that stands'),
    text: BookTextSchema.nullable(),
    summary: BookSummarySchema.nullable(),
    drawings: DrawingsSchema,
    computing: Computing.nullable(),
    stale: z.array(z.string()).readonly(),
    figureTurn: z.int().describe('Raised when the figure has changed: GET /api/builds/:id/figure'),
    figureIs: z
      .enum(['none', 'draft', 'whole'])
      .describe('draft: a thinned figure of the model as it came, until the real one is there'),
    trouble: Problem.nullable().describe('Why the last computation gave nothing at all; null when it ended well'),
    canUndo: z.boolean(),
    canRedo: z.boolean(),
    offers: z.array(Offer).readonly().describe('Newer records of the workshop than those frozen in the build'),
  })
  .readonly()
  .meta({ id: 'BuildState' });
export type BuildState = z.infer<typeof BuildState>;

/** PATCH /api/builds/:id */
export const BuildChange = z
  .strictObject({
    path: z
      .string()
      .min(1)
      .max(200)
      .describe('Dotted path into the build file, e.g. `print.layerMm` or `machines.0.bedMm.2`'),
    value: z.custom<z.core.util.JSONType>((value) => value !== undefined, 'is missing').describe('Any JSON'),
  })
  .meta({ id: 'BuildChange' });
export type BuildChange = z.infer<typeof BuildChange>;

/** POST /api/builds/:id/undo and /redo -> BuildState */
export const BuildSteps = z.strictObject({ steps: z.int().min(1).max(1000).default(1) }).meta({ id: 'BuildSteps' });
export type BuildSteps = z.infer<typeof BuildSteps>;

/** POST /api/builds/:id/copy -> { id }: a second book of the same model, begun from version `version` (or as it stands), with
 *  `change` applied. */
export const BuildCopy = z
  .strictObject({
    name: z.string().min(1).max(120),
    version: z.int().min(1).optional(),
    change: BuildChange.optional(),
  })
  .meta({ id: 'BuildCopy' });
export type BuildCopy = z.infer<typeof BuildCopy>;

/** POST /api/builds/:id/restore -> BuildState: version `version` stands again, as a new version. */
export const BuildRestore = z.strictObject({ version: z.int().min(1) }).meta({ id: 'BuildRestore' });
export type BuildRestore = z.infer<typeof BuildRestore>;

/** Where a new build is: POST /api/builds, /take-in and /copy answer with it. */
export const NewBuild = z.strictObject({ id: z.string() }).readonly().meta({ id: 'NewBuild' });
export type NewBuild = z.infer<typeof NewBuild>;

/** GET /api/builds/:id/history -> HistoryEntry[], newest first. */
export const HistoryEntry = z
  .strictObject({
    number: z.int().min(1),
    from: z.int().min(1).nullable(),
    madeAt: z.iso.datetime(),
    kind: z.enum(['begun', 'set', 'restored']),
    says: z.string().describe('"Layer height: 0.2 mm to 0.28 mm"'),
    stands: z.boolean(),
  })
  .readonly()
  .meta({ id: 'HistoryEntry' });
export type HistoryEntry = z.infer<typeof HistoryEntry>;

/** GET /api/builds/:id/events, server-sent events. `state` carries a whole BuildState whenever anything but progress changes;
 *  `progress` carries Computing or null; `removed` when the build was taken off the shelf.
 *  Further calls: POST /api/builds?name=FILE (body: the model's bytes, application/octet-stream) -> { id };
 *  POST /api/builds/take-in (body: an exported zip, application/zip) -> { id }; DELETE /api/builds/:id -> 204;
 *  POST /api/builds/:id/cancel -> BuildState; POST /api/builds/:id/compute -> BuildState: goes on after it was stopped;
 *  GET /api/builds/:id/kit.zip, /kit.3mf, /book.html, /build.json, /plan.json, /whole.zip (build file, model, log): downloads. */
export type ServerEvent =
  | { readonly event: 'state'; readonly data: BuildState }
  | { readonly event: 'progress'; readonly data: Computing | null }
  | { readonly event: 'removed'; readonly data: null };

/** GET /api/events, server-sent events: something on these pages has changed and should be asked for again. `shelf` also carries the
 *  card of the one build that changed, when it is one; a card that is gone is told with null. */
export type HouseEvent =
  | { readonly event: 'shelf'; readonly data: BuildCard | null }
  | { readonly event: 'workshop'; readonly data: null };
