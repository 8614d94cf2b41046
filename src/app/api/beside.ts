// Two books side by side, as they travel to the page.
import type { Comparison } from '../../workshop/book/compare-books.ts';
import type { BuildState, Computing } from './api.ts';

/** A book to compare: a build as it stands, or one of its versions. In addresses: `ID` or `ID@NUMBER`. */
export interface BookRef {
  readonly id: string;
  readonly version: number | null;
}

export function writeRef({ id, version }: BookRef): string {
  return version === null ? id : `${id}@${version}`;
}

export function readRef(words: string): BookRef | null {
  const parts = /^([A-Za-z0-9_-]{1,64})(?:@([1-9]\d{0,8}))?$/.exec(words);
  return parts === null ? null : { id: parts[1]!, version: parts[2] === undefined ? null : Number(parts[2]) };
}

/** One of the two. A version that does not stand cannot be changed: `live` is then false. */
export interface BesideSide
  extends Pick<BuildState, 'id' | 'version' | 'build' | 'text' | 'summary' | 'drawings' | 'trouble'> {
  /** How the reader tells the two apart: the title, or "version 12". */
  readonly name: string;
  readonly live: boolean;
  readonly computing: Computing | null;
}

/** GET /api/beside?left=REF&right=REF begins whatever is not computed; the page asks again on `beside` events.
 *  GET /api/beside/events?left=REF&right=REF, server-sent events: `beside` carries a whole Beside when either side has changed. */
export interface Beside {
  readonly left: BesideSide;
  readonly right: BesideSide;
  /** Null until both are computed. */
  readonly comparison: Comparison | null;
}
