// The schemas of what the engine writes (text, drawings, summary, comparison), for those who read answers without this program.
import { z } from 'zod';
import type { Finding } from '../../base/findings.ts';
import type { BookSummary } from '../../workshop/book/book-summary.ts';
import type { Block, BookText, ChapterText, Decision, Drawings, Span, Unit } from '../../workshop/book/book-text.ts';
import type { Comparison } from '../../workshop/book/compare-books.ts';

// Each schema is typed by the record it describes, so that the compiler says when one of the two has moved on. Answers are not checked
// against them while the program runs (that would cost more than making them); the tests do that.

const names = z.enum(['model', 'wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface']);
const mm3 = z.tuple([z.number(), z.number(), z.number()]).readonly();
const unit: z.ZodType<Unit> = z.enum([
  'mm',
  'mm2',
  'mm3',
  'g',
  'm',
  's',
  'deg',
  'percent',
  'count',
  'factor',
  'mm/s',
  'mm/s2',
]);
const path = z.string().describe('Dotted path into the build file');
const entry = z.string().describe('JSON of one entry of the list at the path');
const follows = z.array(z.string()).readonly().describe('Chapters that recompute when it changes');

export const SpanSchema: z.ZodType<Span> = z
  .discriminatedUnion('s', [
    z.strictObject({ s: z.literal('text'), text: z.string() }),
    z.strictObject({ s: z.literal('term'), text: z.string() }),
    z.strictObject({ s: z.literal('quantity'), value: z.number(), unit, digits: z.int() }),
    z.strictObject({
      s: z.literal('number'),
      path,
      label: z.string(),
      value: z.number(),
      unit,
      digits: z.int(),
      min: z.number(),
      max: z.number(),
      step: z.number(),
      usual: z.number().nullable(),
      follows,
    }),
    z.strictObject({
      s: z.literal('choice'),
      path,
      label: z.string(),
      value: z.string().describe('JSON of what is set at the path'),
      options: z.array(z.strictObject({ value: z.string(), label: z.string() })).readonly(),
      follows,
    }),
    z.strictObject({
      s: z.literal('points'),
      path,
      label: z.string(),
      count: z.int(),
      value: z.array(mm3).readonly().nullable(),
      what: z.string(),
      such: z.string(),
      follows,
    }),
    z.strictObject({
      s: z.literal('deed'),
      path,
      label: z.string(),
      says: z.string(),
      does: z.enum(['add', 'remove']),
      entry,
      index: z.int(),
      of: z.int(),
      follows,
    }),
    z.strictObject({
      s: z.literal('entry'),
      path,
      label: z.string(),
      options: z.array(z.strictObject({ entry: entry.nullable(), label: z.string() })).readonly(),
      value: entry.nullable(),
      follows,
    }),
    z.strictObject({
      s: z.literal('places'),
      path,
      label: z.string(),
      makes: z.enum(['seam', 'area']),
      name: z.string(),
      least: z.int(),
      most: z.int(),
      says: z.string(),
      what: z.string(),
      such: z.string(),
      follows,
    }),
    z.strictObject({
      s: z.literal('measured'),
      path,
      label: z.string(),
      prints: z
        .array(
          z.strictObject({
            label: z.string(),
            path,
            entry: z.string().describe('JSON of the entry of the list at the path, but for what was measured'),
            estimatedS: z.number(),
            estimatedG: z.number(),
          }),
        )
        .readonly(),
      tookS: z.tuple([z.number(), z.number()]).readonly(),
      weighedG: z.tuple([z.number(), z.number()]).readonly(),
      follows,
    }),
    z.strictObject({ s: z.literal('name'), path, label: z.string(), value: z.string(), follows }),
    z.strictObject({
      s: z.literal('plane'),
      path,
      label: z.string(),
      entry,
      normal: mm3.describe('Worn space, unit'),
      offsetMm: z.number(),
      scale: z.number(),
      heightMm: z.number(),
      follows,
    }),
  ])
  .meta({ id: 'Span' });

const WhereSchema = z.strictObject({
  path: z.string(),
  space: z.enum(['file', 'model', 'worn', 'laid']).exactOptional(),
  atMm: mm3.exactOptional(),
  piece: z.string().exactOptional(),
});

const FindingSchema = z.strictObject({
  kind: z.literal('finding'),
  code: z.string().describe('See docs/codes.md'),
  severity: z.enum(['note', 'caution', 'fault']),
  where: WhereSchema,
  measured: z.number().nullable(),
  limit: z.number().nullable(),
  unit: z.string(),
  say: z.string(),
}) as unknown as z.ZodType<Finding>; // the codes are listed in docs/codes.md, not here once more

const cell = z.array(SpanSchema).readonly();

export const BlockSchema: z.ZodType<Block> = z
  .discriminatedUnion('b', [
    z.strictObject({ b: z.literal('say'), spans: cell, offers: z.literal(true).exactOptional() }),
    z.strictObject({
      b: z.literal('table'),
      caption: z.string(),
      columns: z
        .array(
          z.strictObject({
            head: z.string(),
            align: z.enum(['start', 'end']),
            offers: z.literal(true).exactOptional(),
          }),
        )
        .readonly(),
      rows: z.array(z.array(cell).readonly()).readonly(),
      total: z.array(cell).readonly().exactOptional(),
    }),
    z.strictObject({ b: z.literal('finding'), finding: FindingSchema }),
    z.strictObject({ b: z.literal('caution'), title: z.string(), text: z.string() }),
    z.strictObject({
      b: z.literal('refusal'),
      code: z.string(),
      why: z.string(),
      tryThis: z.string(),
      where: WhereSchema.exactOptional(),
    }),
    z.strictObject({
      b: z.literal('drawing'),
      name: z.string(),
      caption: z.string(),
      pens: z
        .array(z.strictObject({ pen: z.enum(['heavy', 'middle', 'fine', 'crease', 'unseen']), says: z.string() }))
        .readonly()
        .exactOptional(),
      names: z.array(cell).readonly().exactOptional(),
    }),
    z.strictObject({
      b: z.literal('strip'),
      caption: z.string(),
      rows: z.array(z.strictObject({ label: z.string(), seconds: z.array(z.number()).readonly() })).readonly(),
    }),
  ])
  .meta({ id: 'Block' });

export const DecisionSchema: z.ZodType<Decision> = z
  .strictObject({
    chapter: names,
    asks: z.string().describe('The question'),
    path: path.describe('Path of the control that answers it'),
  })
  .meta({ id: 'Decision' });

export const ChapterTextSchema: z.ZodType<ChapterText> = z
  .strictObject({
    name: names,
    title: z.string(),
    asks: z.string(),
    state: z.enum(['computed', 'refused', 'waiting']),
    fingerprint: z.string(),
    decisions: z.array(DecisionSchema).readonly(),
    blocks: z.array(BlockSchema).readonly(),
    margin: z.array(BlockSchema).readonly().describe('Findings and cautions'),
  })
  .meta({ id: 'ChapterText' });

export const BookTextSchema: z.ZodType<BookText> = z
  .strictObject({
    kind: z.literal('book-text'),
    version: z.literal(1),
    title: z.string(),
    standfirst: z.array(BlockSchema).readonly(),
    chapters: z.array(ChapterTextSchema).readonly(),
  })
  .meta({ id: 'BookText' });

export const DrawingsSchema: z.ZodType<Drawings> = z.record(z.string(), z.string()).describe('SVG by name');

const many = z.number().exactOptional();

export const BookSummarySchema: z.ZodType<BookSummary> = z
  .strictObject({
    kind: z.literal('book-summary'),
    version: z.literal(1),
    state: z.enum(['computed', 'refused']),
    refusedAt: names.nullable(),
    says: z.string(),
    next: DecisionSchema.nullable(),
    numbers: z.strictObject({
      triangles: many,
      sizeMm: mm3.exactOptional(),
      scale: many,
      browMm: z.number().nullable().exactOptional(),
      pieces: many,
      seams: many,
      seamOuterMm: many,
      seamCostMm: many,
      printS: many,
      longestPrintS: many,
      filamentG: many,
      supportG: many,
      filamentM: many,
      machines: many,
      cautions: many,
    }),
  })
  .meta({ id: 'BookSummary' });

export const ComparisonSchema: z.ZodType<Comparison> = z
  .strictObject({
    words: z.array(BlockSchema).readonly(),
    tables: z.array(BlockSchema).readonly(),
    paths: z.array(z.string()).readonly(),
  })
  .meta({ id: 'Comparison' });
