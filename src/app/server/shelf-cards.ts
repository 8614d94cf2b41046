// A build as the shelf shows it. What it says of a computed book is kept beside the build, so that a shelf of hundreds opens no book.
import { createHash } from 'node:crypto';
import { z } from 'zod';
import { canonicalJson } from '../../base/canonical-json.ts';
import type { StoredBuild } from '../../store/store.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import type { BuildCard } from '../api/api.ts';
import { BookSummarySchema } from '../api/book-schema.ts';
import type { Session } from './session.ts';

/** What is kept beside a build. `of` names the very build it was made of: an older card lends only its drawing. */
const KeptCard = z.strictObject({
  kind: z.literal('card'),
  version: z.literal(1),
  of: z.string(),
  summary: BookSummarySchema.nullable(),
  trouble: z.string().nullable(),
  thumbnail: z.string().nullable(),
});
type KeptCard = z.infer<typeof KeptCard>;

/** The card to keep when a computation has ended. */
export function cardToKeep(session: Session): KeptCard {
  return {
    kind: 'card',
    version: 1,
    of: nameOf(session.build),
    summary: session.trouble === null ? session.summary : null,
    trouble: session.trouble?.detail ?? null,
    thumbnail: session.drawings.thumb ?? thumbnailOf(session.stored),
  };
}

/** `session`: the open book of that build, if it is open. */
export function cardOf(stored: StoredBuild, session: Session | undefined): BuildCard {
  const build = stored.build as Partial<Build>;
  const kept = keptCard(stored);
  return {
    id: stored.id,
    title: build.name ?? '',
    file: build.model?.file ?? '',
    changedAt: stored.changedAt,
    begunAt: stored.begunAt,
    thumbnail: kept?.thumbnail ?? null,
    ...standing(stored, kept, session),
  };
}

function standing(
  stored: StoredBuild,
  kept: KeptCard | null,
  session: Session | undefined,
): Pick<BuildCard, 'state' | 'says' | 'next'> {
  const computing = session?.computing ?? null;
  if (computing !== null)
    return { state: 'computing', says: `${percent(computing.fraction)}: ${computing.doing}`, next: null };
  if (kept === null || kept.of !== nameOf(stored.build)) return { state: 'not computed', says: '', next: null };
  if (kept.trouble !== null) return { state: 'trouble', says: kept.trouble, next: null };
  if (kept.summary === null) return { state: 'not computed', says: '', next: null };
  return { state: kept.summary.state, says: kept.summary.says, next: kept.summary.next };
}

function thumbnailOf(stored: StoredBuild): string | null {
  return keptCard(stored)?.thumbnail ?? null;
}

/** A card of another version of this program is as good as none: it is made anew with the next computation. */
function keptCard(stored: StoredBuild): KeptCard | null {
  const read = KeptCard.safeParse(stored.card);
  return read.success ? read.data : null;
}

function nameOf(build: unknown): string {
  return createHash('sha256').update(canonicalJson(build)).digest('hex');
}

function percent(fraction: number): string {
  return `${Math.round(fraction * 100)} %`;
}
