// Keeps one build in step with the server: its state, edits on their way, progress, and what was refused where.
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { BuildState, Computing, Problem } from '../api/api.ts';
import type { Editing } from './reader.ts';
import { type Answer, buildUrl, cancelBuild, changeBuild, getBuild, stepBuild } from './server-calls.ts';
import { useEvents } from './use-events.ts';
import { valueAt } from './value-at.ts';

export interface LiveBuild {
  readonly state: BuildState | null;
  readonly computing: Computing | null;
  /** A change is on its way to the server. */
  readonly sending: boolean;
  /** The page cannot be shown at all, or the last step was refused. */
  readonly problem: Problem | null;
  /** The stream of events is broken; it is tried again. */
  readonly lost: boolean;
  /** Somebody has taken the book off the shelf. */
  readonly removed: boolean;
  readonly editing: Editing;
  readonly step: (way: 'undo' | 'redo') => void;
  readonly cancel: () => void;
}

type ByPath<T> = ReadonlyMap<string, T>;

/** An edit on its way. */
interface Pending {
  readonly value: unknown;
  readonly follows: readonly string[];
}

const EVENTS = ['state', 'progress', 'removed'];

export function useBuild(id: string): LiveBuild {
  const [state, setState] = useState<BuildState | null>(null);
  const [computing, setComputing] = useState<Computing | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [removed, setRemoved] = useState(false);
  const [pending, setPending] = useState<ByPath<Pending>>(new Map());
  const [problems, setProblems] = useState<ByPath<Problem>>(new Map());
  const latest = useRef<BuildState | null>(null);
  const inTurn = useInTurn();

  const take = useCallback((next: BuildState, source: 'events' | 'answer') => {
    const known = latest.current;
    // An answer may arrive after the event that already told more of the same turn.
    if (known !== null && (next.turn < known.turn || (source === 'answer' && next.turn === known.turn))) return;
    latest.current = next;
    setState(next);
    setComputing(next.computing);
  }, []);

  const lost = useEvents(`${buildUrl(id)}/events`, EVENTS, {
    event: (name, data) => {
      if (name === 'removed') setRemoved(true);
      else if (name === 'progress') setComputing(data as Computing | null);
      else {
        setProblem(null);
        take(data as BuildState, 'events');
      }
    },
    // A server that was started anew counts its turns anew.
    open: () => {
      latest.current = null;
    },
  });

  const settle = useCallback(
    (answer: Answer<BuildState>): void => {
      if (answer.ok) take(answer.value, 'answer');
      else setProblem(answer.problem);
    },
    [take],
  );
  useEffect(() => {
    // The stream does not say why it is refused; the plain question does.
    if (lost && latest.current === null) void getBuild(id).then(settle);
  }, [id, lost, settle]);

  const set = useCallback(
    (path: string, value: unknown, follows: readonly string[]) => {
      const edit: Pending = { value, follows };
      setPending((old) => new Map(old).set(path, edit));
      setProblems((old) => without(old, path));
      void inTurn(() => changeBuild(id, { path, value: value as never })).then((answer) => {
        if (answer.ok) take(answer.value, 'answer');
        else setProblems((old) => new Map(old).set(path, answer.problem));
        setPending((old) => (old.get(path) === edit ? without(old, path) : old));
      });
    },
    [id, take, inTurn],
  );

  /** Steps asked for and not yet sent; back is positive. Several quick ones go in one. */
  const steps = useRef(0);
  const step = useCallback(
    (way: 'undo' | 'redo') => {
      setProblems(new Map());
      steps.current += way === 'undo' ? 1 : -1;
      void inTurn(async () => {
        const count = steps.current;
        steps.current = 0;
        if (count !== 0) settle(await stepBuild(id, count > 0 ? 'undo' : 'redo', Math.abs(count)));
      });
    },
    [id, settle, inTurn],
  );
  const cancel = useCallback(() => void cancelBuild(id).then(settle), [id, settle]);

  const editing = useMemo<Editing>(
    () => ({
      valueAt: (path) => (pending.has(path) ? pending.get(path)?.value : valueAt(state?.build, path)),
      set,
      problemAt: (path) => problems.get(path),
    }),
    [pending, problems, state, set],
  );
  const shown = useMemo(() => (state === null ? null : withPending(state, pending)), [state, pending]);
  const sending = pending.size > 0;
  return { state: shown, computing, sending, problem, lost, removed, editing, step, cancel };
}

/** Runs calls one after the other, so that two quick edits reach the server in the order in which they were made. */
function useInTurn(): <T>(call: () => Promise<T>) => Promise<T> {
  const last = useRef<Promise<unknown>>(Promise.resolve());
  return useCallback((call) => {
    const next = last.current.then(call);
    last.current = next.catch(() => undefined);
    return next;
  }, []);
}

/** What an edit will make stale is set back at once, before the server has answered. */
function withPending(state: BuildState, pending: ByPath<Pending>): BuildState {
  if (pending.size === 0) return state;
  const stale = new Set([...state.stale, ...[...pending.values()].flatMap(({ follows }) => follows)]);
  return { ...state, stale: [...stale] };
}

function without<T>(map: ByPath<T>, path: string): ByPath<T> {
  if (!map.has(path)) return map;
  const next = new Map(map);
  next.delete(path);
  return next;
}
