// One text for one value, so that equal settings have equal fingerprints.
import { invariant } from './invariant.ts';

/** JSON with sorted keys, no white space, `undefined` members left out. Throws (a bug) on what JSON cannot hold. */
export function canonicalJson(value: unknown): string {
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return JSON.stringify(value);
  if (typeof value === 'number') {
    invariant(Number.isFinite(value), 'canonical JSON holds finite numbers only');
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  invariant(typeof value === 'object', `canonical JSON cannot hold a ${typeof value}`);
  const members = Object.entries(value as Record<string, unknown>)
    .filter(([, member]) => member !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, member]) => `${JSON.stringify(key)}:${canonicalJson(member)}`);
  return `{${members.join(',')}}`;
}
