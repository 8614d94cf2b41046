// Newer records of the workshop than those frozen in a build: offered in words, never taken over silently.
import type { Build } from '../../workshop/book/build-file.ts';
import { recordWords } from '../../workshop/book/record-words.ts';
import { type Machine, MOST_MEASURED } from '../../workshop/process/machine.ts';
import type { Material } from '../../workshop/process/material.ts';
import type { Offer } from '../api/api.ts';
import type { Workshop } from '../api/workshop.ts';

/** One for each frozen record whose namesake in the workshop has been changed since. */
export function offersFor(build: Build, { machines, materials }: Workshop): readonly Offer[] {
  return [
    ...build.machines.flatMap((machine, index) =>
      offer(machine, machines, { path: `machines.${index}`, what: 'machine' }),
    ),
    ...offer(build.material, materials, { path: 'material', what: 'material' }),
  ];
}

function offer<T extends Machine | Material>(
  frozen: T,
  kept: readonly T[],
  at: { readonly path: string; readonly what: string },
): readonly Offer[] {
  const found = kept.find(({ id }) => id === frozen.id);
  if (found === undefined || found.revision <= frozen.revision) return [];
  const now = withMeasured(found, frozen);
  const says = recordWords(frozen, now);
  if (says === '') return [];
  const name = frozen.name.includes(at.what) ? frozen.name : `${at.what} ${frozen.name}`;
  return [{ path: at.path, name, says: says.charAt(0).toUpperCase() + says.slice(1), value: now }];
}

/** What a build has measured stays with it when the machine's figures are taken over. */
function withMeasured<T extends Machine | Material>(now: T, frozen: T): T {
  if (!('measured' in now) || !('measured' in frozen)) return now;
  const known = new Set(now.measured.map((print) => JSON.stringify(print)));
  const own = frozen.measured.filter((print) => !known.has(JSON.stringify(print)));
  return { ...now, measured: [...now.measured, ...own].slice(-MOST_MEASURED) };
}
