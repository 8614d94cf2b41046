// Two books side by side, kept in step with the server; either can be changed in place when it is live.
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Comparison } from '../../workshop/book/compare-books.ts';
import type { Problem } from '../api/api.ts';
import type { Beside, BesideSide } from '../api/beside.ts';
import { besideQuery, getBeside } from './house-calls.ts';
import type { Editing } from './reader.ts';
import { type Answer, changeBuild } from './server-calls.ts';
import { useEvents } from './use-events.ts';
import { valueAt } from './value-at.ts';

export type SideName = 'left' | 'right';

export interface LiveBeside {
  readonly beside: Beside | null;
  /** The last known, also while a newer one is being computed. */
  readonly comparison: Comparison | null;
  readonly problem: Problem | null;
  readonly lost: boolean;
  /** Null for a side that does not stand. */
  readonly editing: Readonly<Record<SideName, Editing | null>>;
}

/** An edit on its way, by side and path. */
type Edits = ReadonlyMap<string, unknown>;

export function useBeside(left: string, right: string): LiveBeside {
  const [beside, setBeside] = useState<Beside | null>(null);
  const [comparison, setComparison] = useState<Comparison | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [pending, setPending] = useState<Edits>(new Map());
  const [problems, setProblems] = useState<ReadonlyMap<string, Problem>>(new Map());
  const asked = useRef(0);

  const take = useCallback((next: Beside) => {
    setBeside(next);
    if (next.comparison !== null) setComparison(next.comparison);
  }, []);
  const refresh = useCallback(async (): Promise<void> => {
    asked.current += 1;
    const mine = asked.current;
    const answer: Answer<Beside> = await getBeside(left, right);
    if (mine !== asked.current) return;
    if (answer.ok) take(answer.value);
    setProblem(answer.ok ? null : answer.problem);
  }, [left, right, take]);
  useEffect(() => void refresh(), [refresh]);
  const lost = useEvents(`/api/beside/events?${besideQuery(left, right)}`, ['beside'], {
    open: () => void refresh(),
    event: (_name, data) => {
      // Whatever is still asked for is older than this.
      asked.current += 1;
      take(data as Beside);
      setProblem(null);
    },
  });

  const set = useCallback(
    (side: SideName, id: string, path: string, value: unknown) => {
      const key = `${side} ${path}`;
      setPending((old) => new Map(old).set(key, value));
      setProblems((old) => without(old, key));
      void changeBuild(id, { path, value: value as never }).then(async (answer) => {
        if (!answer.ok) setProblems((old) => new Map(old).set(key, answer.problem));
        // The numbers in both columns are those of the server before this one is let go.
        else await refresh();
        setPending((old) => (old.get(key) === value ? without(old, key) : old));
      });
    },
    [refresh],
  );
  const editing = useMemo(() => {
    const of = (name: SideName): Editing | null => {
      const side = beside?.[name];
      if (side === undefined || !side.live) return null;
      return {
        valueAt: (path) => {
          const key = `${name} ${path}`;
          return pending.has(key) ? pending.get(key) : valueAt(side.build, path);
        },
        set: (path, value) => set(name, side.id, path, value),
        problemAt: (path) => problems.get(`${name} ${path}`),
      };
    };
    return { left: of('left'), right: of('right') };
  }, [beside, pending, problems, set]);
  return { beside, comparison, problem, lost, editing };
}

/** The address of a side's own book. */
export function pathOf({ id }: BesideSide): string {
  return `/builds/${encodeURIComponent(id)}`;
}

function without<T>(map: ReadonlyMap<string, T>, key: string): ReadonlyMap<string, T> {
  const next = new Map(map);
  next.delete(key);
  return next;
}
