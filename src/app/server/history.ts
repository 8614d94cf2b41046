// Every version of a build in words, as the history page lists them.
import { done, type Outcome } from '../../base/findings.ts';
import type { Store, VersionHead } from '../../store/store.ts';
import type { BookText } from '../../workshop/book/book-text.ts';
import { type Build, readBuild } from '../../workshop/book/build-file.ts';
import { type Controls, changeWords, controlsOf } from '../../workshop/book/change-words.ts';
import { unwrittenBook } from '../../workshop/book/unwritten-book.ts';
import type { HistoryEntry } from '../api/api.ts';
import { noBuild } from './sessions.ts';

/** Newest first. `text`: the book's text as far as it is known; with the choices of the build it tells the labels of what was changed. */
export async function historyOf(
  store: Store,
  id: string,
  text: BookText | null,
): Promise<Outcome<readonly HistoryEntry[]>> {
  const stored = await store.getBuild(id);
  if (stored === undefined) return noBuild(id);
  const heads = await store.versions(id);
  const builds = await allBuilds(store, id, heads);
  const standing = builds.get(stored.version);
  const controls = controlsOf(
    ...(text === null ? [] : [text]),
    ...(standing === undefined ? [] : [unwrittenBook(standing)]),
  );
  const madeAt = new Map(heads.map((head) => [head.number, head.madeAt]));
  const entries = heads.map((head) => ({
    number: head.number,
    from: head.from,
    madeAt: head.madeAt,
    kind: head.kind,
    says: says(head, { builds, made: (number) => madeAt.get(number), controls }),
    stands: head.number === stored.version,
  }));
  return done(entries.reverse());
}

interface Known {
  readonly builds: ReadonlyMap<number, Build>;
  made(number: number): string | undefined;
  readonly controls: Controls;
}

function says(head: VersionHead, { builds, made, controls }: Known): string {
  if (head.kind === 'begun') return 'Begun';
  if (head.kind === 'restored') {
    const of = made(Number(head.path));
    return of === undefined ? 'An older version again' : `Version ${head.path} of ${dayOf(of)} again`;
  }
  const before = head.from === null ? undefined : builds.get(head.from);
  const after = builds.get(head.number);
  if (before === undefined || after === undefined) return head.path === '' ? 'Changed' : `Changed: ${head.path}`;
  return changeWords(before, after, controls);
}

/** Versions that this program cannot read any more are left out: their entry names the path only. */
async function allBuilds(store: Store, id: string, heads: readonly VersionHead[]): Promise<ReadonlyMap<number, Build>> {
  const builds = new Map<number, Build>();
  for (let at = 0; at < heads.length; at += AT_ONCE) {
    const some = heads.slice(at, at + AT_ONCE).map(({ number }) => store.version(id, number));
    for (const version of await Promise.all(some)) {
      const read = readBuild(version?.build);
      if (version !== undefined && read.ok) builds.set(version.number, read.value);
    }
  }
  return builds;
}

const AT_ONCE = 32;

/** "27 November", with the year when it is not this one; in the time of this machine, which is the reader's. */
function dayOf(time: string): string {
  const day = new Date(time);
  const thisYear = day.getFullYear() === new Date().getFullYear();
  return day.toLocaleDateString('en-GB', {
    day: 'numeric',
    month: 'long',
    ...(thisYear ? {} : { year: 'numeric' as const }),
  });
}
