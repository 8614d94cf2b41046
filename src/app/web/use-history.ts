// The history of one build, kept in step with the server.
import { useCallback, useRef, useState } from 'react';
import type { BuildState, HistoryEntry, Problem } from '../api/api.ts';
import { historyOf, restoreVersion } from './house-calls.ts';
import { buildUrl, getBuild, stepBuild } from './server-calls.ts';
import { useEvents } from './use-events.ts';

export interface LiveHistory {
  readonly title: string | null;
  /** Newest first; null until the first answer. */
  readonly entries: readonly HistoryEntry[] | null;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly removed: boolean;
  readonly problem: Problem | null;
  readonly lost: boolean;
  readonly step: (step: 'undo' | 'redo') => void;
  readonly bringBack: (version: number) => void;
}

type Known = Pick<BuildState, 'turn' | 'version' | 'canUndo' | 'canRedo'> & { readonly title: string };

export function useHistory(id: string): LiveHistory {
  const [known, setKnown] = useState<Known | null>(null);
  const [entries, setEntries] = useState<readonly HistoryEntry[] | null>(null);
  const [removed, setRemoved] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const latest = useRef<Known | null>(null);
  const asked = useRef(0);

  const refresh = useCallback(() => {
    asked.current += 1;
    const mine = asked.current;
    void historyOf(id).then((answer) => {
      if (mine !== asked.current) return;
      if (answer.ok) setEntries(answer.value);
      else setProblem(answer.problem);
    });
  }, [id]);
  const take = useCallback(
    ({ turn, version, canUndo, canRedo, build }: BuildState) => {
      const before = latest.current;
      if (before !== null && turn < before.turn) return;
      latest.current = { turn, version, canUndo, canRedo, title: build.name };
      setKnown(latest.current);
      if (before?.version !== version || before.canRedo !== canRedo) refresh();
    },
    [refresh],
  );
  const lost = useEvents(`${buildUrl(id)}/events`, ['state', 'removed'], {
    // The stream begins with the state. A server that was started anew counts its turns anew.
    open: () => {
      latest.current = null;
    },
    event: (name, data) => {
      if (name === 'removed') setRemoved(true);
      else {
        setProblem(null);
        take(data as BuildState);
      }
    },
    // A build that does not exist has no stream, and only the plain question says why.
    refused: () =>
      void getBuild(id).then((answer) => {
        if (answer.ok) take(answer.value);
        else setProblem(answer.problem);
      }),
  });
  const step = useCallback(
    (which: 'undo' | 'redo') => {
      setProblem(null);
      void stepBuild(id, which, 1).then((answer) => {
        if (answer.ok) take(answer.value);
        else setProblem(answer.problem);
      });
    },
    [id, take],
  );
  const bringBack = useCallback(
    (version: number) => {
      setProblem(null);
      void restoreVersion(id, version).then((answer) => {
        if (answer.ok) take(answer.value);
        else setProblem(answer.problem);
      });
    },
    [id, take],
  );
  return {
    title: known?.title ?? null,
    entries,
    canUndo: known?.canUndo ?? false,
    canRedo: known?.canRedo ?? false,
    removed,
    problem,
    lost,
    step,
    bringBack,
  };
}
