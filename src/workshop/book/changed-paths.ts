// Where two build files differ: the smallest paths that tell it, in the order of the build file.

/** Dotted paths. A list that has become longer or shorter, and a record whose `by` or `id` has changed, count as one difference. */
export function changedPaths(before: unknown, after: unknown, at = ''): readonly string[] {
  if (Object.is(before, after)) return [];
  if (Array.isArray(before) && Array.isArray(after))
    return before.length === after.length
      ? after.flatMap((each: unknown, index) => changedPaths(before[index], each, joined(at, String(index))))
      : [at];
  if (!isRecord(before) || !isRecord(after)) return [at];
  if (before.by !== after.by || before.id !== after.id) return [at];
  const keys = new Set([...Object.keys(before), ...Object.keys(after)]);
  return [...keys].flatMap((key) => changedPaths(before[key], after[key], joined(at, key)));
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return value !== null && typeof value === 'object' && !Array.isArray(value);
}

function joined(at: string, key: string): string {
  return at === '' ? key : `${at}.${key}`;
}
