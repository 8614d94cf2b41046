// Applies one change of the page to a build: a value at a path, checked whole.
import { type Outcome, refuse } from '../../base/findings.ts';
import { type Build, readBuild } from '../../workshop/book/build-file.ts';
import type { BuildChange } from '../api/api.ts';

/** Refuses BUILD_INVALID with the path and the range, or REQUEST_REFUSED for a path that leads nowhere. */
export function changeBuild(build: Build, change: BuildChange): Outcome<Build> {
  const copy = structuredClone(build) as unknown;
  const keys = change.path.split('.');
  if (keys.some((key) => key === '__proto__' || key === 'constructor' || key === 'prototype'))
    return noSuchPath(change.path);
  let at: unknown = copy;
  for (const [index, key] of keys.entries()) {
    if (at === null || typeof at !== 'object') return noSuchPath(change.path);
    const holder = at as Record<string, unknown>;
    if (Array.isArray(at) && !/^\d{1,4}$/.test(key)) return noSuchPath(change.path);
    if (index === keys.length - 1) holder[key] = change.value;
    else {
      if (holder[key] === undefined) holder[key] = /^\d+$/.test(keys[index + 1]!) ? [0, 0, 0] : {};
      at = holder[key];
    }
  }
  const changed = readBuild(copy);
  if (!changed.ok || changed.value.model.sha256 === build.model.sha256) return changed;
  return refuse('REQUEST_REFUSED', 'A build stays with its model file; the hash of it cannot be set.', {
    where: { path: 'model.sha256' },
    tryThis: 'Begin a new build with the other file.',
  });
}

function noSuchPath(path: string): Outcome<Build> {
  return refuse('REQUEST_REFUSED', `The build file has nothing at "${path.slice(0, 100)}".`);
}
