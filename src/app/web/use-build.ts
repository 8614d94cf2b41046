// Keeps one build in step with the server: its state, edits on their way, progress, and what was refused where.
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { BuildState, Computing, Problem } from '../api/api.ts';
import type { Editing } from './reader.ts';
import { type Answer, buildUrl, changeBuild, stepBuild } from './server-calls.ts';

export interface LiveBuild {
  readonly state: BuildState | null;
  readonly computing: Computing | null;
  /** The page cannot be shown at all, or the last step was refused. */
  readonly problem: Problem | null;
  /** The stream of events is broken; the browser keeps trying. */
  readonly lost: boolean;
  readonly editing: Editing;
  readonly step: (step: 'undo' | 'redo' | 'cancel') => void;
}

type ByPath<T> = ReadonlyMap<string, T>;

/** An edit on its way. */
interface Pending {
  readonly value: unknown;
  readonly follows: readonly string[];
}

export function useBuild(id: string): LiveBuild {
  const [state, setState] = useState<BuildState | null>(null);
  const [computing, setComputing] = useState<Computing | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [lost, setLost] = useState(false);
  const [pending, setPending] = useState<ByPath<Pending>>(new Map());
  const [problems, setProblems] = useState<ByPath<Problem>>(new Map());
  const latest = useRef<BuildState | null>(null);

  const take = useCallback((next: BuildState, source: 'events' | 'answer') => {
    const known = latest.current;
    // An answer may arrive after the event that already told more of the same turn.
    if (known !== null && (next.turn < known.turn || (source === 'answer' && next.turn === known.turn))) return;
    latest.current = next;
    setState(next);
    setComputing(next.computing);
  }, []);

  useEffect(() => {
    const source = new EventSource(`${buildUrl(id)}/events`);
    source.addEventListener('open', () => setLost(false));
    source.addEventListener('state', (event) => {
      setProblem(null);
      take(JSON.parse(event.data as string) as BuildState, 'events');
    });
    source.addEventListener('progress', (event) => setComputing(JSON.parse(event.data as string) as Computing | null));
    source.addEventListener('error', () => {
      setLost(true);
      // The browser gives up on an answer that is no stream; then the plain question tells why.
      if (source.readyState === EventSource.CLOSED) void plainState(id).then((answer) => settle(answer));
    });
    const settle = (answer: Answer<BuildState>): void => {
      if (answer.ok) take(answer.value, 'events');
      else setProblem(answer.problem);
    };
    return () => source.close();
  }, [id, take]);

  const set = useCallback(
    (path: string, value: unknown, follows: readonly string[]) => {
      const edit: Pending = { value, follows };
      setPending((old) => new Map(old).set(path, edit));
      setProblems((old) => without(old, path));
      void changeBuild(id, { path, value: value as never }).then((answer) => {
        if (answer.ok) take(answer.value, 'answer');
        else setProblems((old) => new Map(old).set(path, answer.problem));
        setPending((old) => (old.get(path) === edit ? without(old, path) : old));
      });
    },
    [id, take],
  );

  const step = useCallback(
    (which: 'undo' | 'redo' | 'cancel') => {
      setProblems(new Map());
      void stepBuild(id, which).then((answer) => {
        if (answer.ok) take(answer.value, 'answer');
        else setProblem(answer.problem);
      });
    },
    [id, take],
  );

  const editing = useMemo<Editing>(
    () => ({
      valueAt: (path) => (pending.has(path) ? pending.get(path)?.value : valueAt(state?.build, path)),
      set,
      problemAt: (path) => problems.get(path),
    }),
    [pending, problems, state, set],
  );
  const shown = useMemo(() => (state === null ? null : withPending(state, pending)), [state, pending]);
  return { state: shown, computing, problem, lost, editing, step };
}

/** What an edit will make stale is set back at once, before the server has answered. */
function withPending(state: BuildState, pending: ByPath<Pending>): BuildState {
  if (pending.size === 0) return state;
  const stale = new Set([...state.stale, ...[...pending.values()].flatMap(({ follows }) => follows)]);
  return { ...state, stale: [...stale] };
}

async function plainState(id: string): Promise<Answer<BuildState>> {
  const response = await fetch(buildUrl(id)).catch(() => null);
  const body = (await response?.json().catch(() => null)) as unknown;
  if (response?.ok && body !== null) return { ok: true, value: body as BuildState };
  return { ok: false, problem: { ...NO_BUILD, ...(body as Partial<Problem> | null) } };
}

const NO_BUILD: Problem = {
  type: 'about:blank',
  title: 'NOT_FOUND',
  status: 404,
  detail: 'This build cannot be read.',
  code: 'NOT_FOUND',
  tryThis: 'Go back to the list of builds.',
};

function valueAt(build: unknown, path: string): unknown {
  let at: unknown = build;
  for (const key of path.split('.')) {
    if (at === null || typeof at !== 'object') return undefined;
    at = (at as Readonly<Record<string, unknown>>)[key];
  }
  return at;
}

function without<T>(map: ByPath<T>, path: string): ByPath<T> {
  if (!map.has(path)) return map;
  const next = new Map(map);
  next.delete(path);
  return next;
}
