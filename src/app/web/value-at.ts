// What stands at a dotted path of a record: `machines.0.bedMm.2`.

/** Undefined where the path leads nowhere. */
export function valueAt(record: unknown, path: string): unknown {
  let at = record;
  for (const key of path.split('.')) {
    if (at === null || typeof at !== 'object') return undefined;
    at = (at as Readonly<Record<string, unknown>>)[key];
  }
  return at;
}
