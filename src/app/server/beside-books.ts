// Two books side by side: both opened, both computed, then compared.
import { done, type Outcome } from '../../base/findings.ts';
import { type Comparison, compareBooks, type Side } from '../../workshop/book/compare-books.ts';
import type { Beside, BesideSide, BookRef } from '../api/beside.ts';
import { bugProblem } from './problem.ts';
import { isComputed, type Session } from './session.ts';
import type { Sessions } from './sessions.ts';

export interface BesideBooks {
  state(left: BookRef, right: BookRef): Promise<Outcome<Beside>>;
  /** Hears of every change of either side, progress included, until the function that is returned is called. */
  listen(
    left: BookRef,
    right: BookRef,
    listener: (news: Beside | 'removed') => void,
  ): Promise<Outcome<{ readonly now: Beside; stop(): void }>>;
}

export function openBesideBooks(sessions: Sessions): BesideBooks {
  const compare = rememberedComparison();

  const both = async (left: BookRef, right: BookRef): Promise<Outcome<readonly [Session, Session]>> => {
    const [one, other] = [await sessions.open(left), await sessions.open(right)];
    if (!one.ok) return one;
    return other.ok ? done([one.value, other.value]) : other;
  };

  const beside = ([left, right]: readonly [Session, Session]): Beside => {
    const [leftName, rightName] = namesOf(left, right);
    const sides = { left: sideOf(left, leftName), right: sideOf(right, rightName) };
    const known = isComputed(left) && isComputed(right);
    return { ...sides, comparison: known ? compare(sides.left, sides.right) : null };
  };

  return {
    async state(left, right) {
      const opened = await both(left, right);
      return opened.ok ? done(beside(opened.value)) : opened;
    },
    async listen(left, right, listener) {
      const opened = await both(left, right);
      if (!opened.ok) return opened;
      const pair = opened.value;
      const stops = [...new Set(pair)].map((session) =>
        sessions.listen(session, ({ event }) => listener(event === 'removed' ? 'removed' : beside(pair))),
      );
      return done({
        now: beside(pair),
        stop: () => {
          for (const stop of stops) stop();
        },
      });
    },
  };
}

function sideOf(session: Session, name: string): BesideSide {
  const { ref, stored, build, text, summary, drawings, trouble, computing } = session;
  const live = ref.version === null;
  return { id: ref.id, version: stored.version, build, text, summary, drawings, trouble, computing, name, live };
}

/** Titles where they differ; of one title the versions, or which of the two it is. */
function namesOf(left: Session, right: Session): readonly [string, string] {
  if (left.ref.id === right.ref.id) return [versionName(left), versionName(right)];
  const titles = [titleName(left), titleName(right)] as const;
  return titles[0] === titles[1] ? [`${titles[0]} (the first)`, `${titles[1]} (the second)`] : titles;
}

function versionName({ ref }: Session): string {
  return ref.version === null ? 'as it stands' : `version ${ref.version}`;
}

function titleName({ ref, build }: Session): string {
  return ref.version === null ? build.name : `${build.name}, version ${ref.version}`;
}

/** The last comparison is kept: progress of a side asks for it again and again. */
function rememberedComparison(): (left: BesideSide, right: BesideSide) => Comparison | null {
  let last: { readonly left: Side; readonly right: Side; readonly comparison: Comparison } | null = null;
  return (left, right) => {
    const sides = [comparable(left), comparable(right)] as const;
    if (sides[0] === null || sides[1] === null) return null;
    if (last !== null && same(last.left, sides[0]) && same(last.right, sides[1])) return last.comparison;
    try {
      last = { left: sides[0], right: sides[1], comparison: compareBooks(sides[0], sides[1]) };
      return last.comparison;
    } catch (error) {
      bugProblem(error);
      return null;
    }
  };
}

function comparable({ name, build, text, summary }: BesideSide): Side | null {
  return text === null || summary === null ? null : { name, build, text, summary };
}

function same(a: Side, b: Side): boolean {
  return a.name === b.name && a.build === b.build && a.text === b.text && a.summary === b.summary;
}
