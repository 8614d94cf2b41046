// Numbers and choices in sentences: their range comes from the build file's schema, never from a second list.
import { invariant } from '../../base/invariant.ts';
import type { ChapterName, Span, Unit } from './book-text.ts';
import { type Build, buildJsonSchema } from './build-file.ts';

interface Schema {
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema;
  readonly additionalProperties?: Schema | false;
  readonly prefixItems?: readonly Schema[];
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly default?: unknown;
}

/** The editable number at `path` of the build. `usual` is the schema's default unless given. */
export function editable(
  build: Build,
  path: string,
  look: {
    readonly label: string;
    readonly unit: Unit;
    readonly digits: number;
    readonly step: number;
    readonly missing?: number;
  },
): Span {
  const schema = schemaAt(path);
  const value = valueAt(build, path) ?? look.missing;
  invariant(typeof value === 'number', `${path} of the build is a number`);
  invariant(schema.minimum !== undefined && schema.maximum !== undefined, `${path} has a range in the schema`);
  return {
    s: 'number',
    path,
    label: look.label,
    value,
    unit: look.unit,
    digits: look.digits,
    min: schema.minimum,
    max: schema.maximum,
    step: look.step,
    usual: typeof schema.default === 'number' ? schema.default : (look.missing ?? null),
    follows: followsOf(path),
  };
}

/** A choice among whole values set at `path`. */
export function choice(
  build: Build,
  path: string,
  look: {
    readonly label: string;
    readonly options: readonly { readonly value: unknown; readonly label: string }[];
    readonly chosen?: unknown;
  },
): Span {
  return {
    s: 'choice',
    path,
    label: look.label,
    value: JSON.stringify(look.chosen ?? valueAt(build, path) ?? null),
    options: look.options.map(({ value, label }) => ({ value: JSON.stringify(value), label })),
    follows: followsOf(path),
  };
}

/** Chapters that recompute when `path` changes. */
export function followsOf(path: string): readonly ChapterName[] {
  // What the maker calls a seam or an area is told, not computed with.
  if (/^pieces\.asked\.\w+\.\d+\.name$/.test(path)) return [];
  if (path.startsWith('model.'))
    return ['model', 'wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'];
  if (path.startsWith('wearer.')) return ['wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'];
  // The narrowest nozzle decides which walls are thin.
  if (/^machines(\.\d+(\.nozzleMm)?)?$/.test(path))
    return ['wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'];
  if (path.startsWith('pieces.') || /^machines\.\d+\.(bedMm|id)/.test(path))
    return ['pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'];
  if (path.startsWith('joints.') || /^machines\.\d+\.clearanceMm/.test(path))
    return ['joints', 'printing', 'beds', 'assembly', 'surface'];
  if (
    path === 'name' ||
    /^(machines\.\d+\.(name|powerW|price|loaded|revision)|material\.(name|packPrice|revision))/.test(path)
  )
    return [];
  if (path.startsWith('assembly.')) return ['assembly'];
  if (path.startsWith('surface.')) return ['surface'];
  if (/^beds\.(startsH|waking)/.test(path)) return ['beds', 'surface'];
  if (path.startsWith('beds.') || path === 'material.packG') return ['beds'];
  return ['printing', 'beds', 'surface'];
}

export function valueAt(build: unknown, path: string): unknown {
  let at: unknown = build;
  for (const key of path.split('.')) {
    if (at === null || typeof at !== 'object') return undefined;
    at = (at as Record<string, unknown>)[key];
  }
  return at;
}

let schema: Schema | undefined;

function schemaAt(path: string): Schema {
  schema ??= buildJsonSchema() as Schema;
  let found: readonly Schema[] = [schema];
  for (const key of path.split('.')) found = found.flatMap(branches).flatMap((each) => below(each, key));
  const first = found.flatMap(branches).find((each) => each.minimum !== undefined);
  invariant(first !== undefined, `${path} is in the schema of the build file`);
  return first;
}

function branches(each: Schema): readonly Schema[] {
  const options = each.anyOf ?? each.oneOf;
  return options === undefined ? [each] : options.flatMap(branches);
}

function below(each: Schema, key: string): readonly Schema[] {
  const next =
    each.properties?.[key] ??
    each.prefixItems?.[Number(key)] ??
    (/^\d+$/.test(key) ? each.items : undefined) ??
    (each.additionalProperties || undefined);
  return next === undefined ? [] : [next];
}
