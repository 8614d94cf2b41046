// The workshop's records, changed one number at a time: each change is sent at once, one after the other, and can be taken back.
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Problem } from '../api/api.ts';
import type { Workshop } from '../api/workshop.ts';
import {
  addRecord,
  keepRecord,
  type NewRecordOf,
  type RecordKind,
  type RecordOf,
  removeRecord,
} from './house-calls.ts';
import { type Answer, getWorkshop } from './server-calls.ts';
import { useEvents } from './use-events.ts';
import { type Place, recordIn, same, valueIn, type WorkshopRecord, withValue } from './workshop-values.ts';

export interface Change extends Place {
  readonly value: unknown;
  /** What is changed, and how its values are said: "Outermost contour pass", "40 mm/s". */
  readonly label: string;
  readonly say: (value: unknown) => string;
}

export interface LiveWorkshop {
  /** With changes on their way; null until the first answer. */
  readonly workshop: Workshop | null;
  readonly problem: Problem | null;
  readonly lost: boolean;
  /** Several are one step to undo. */
  readonly set: (...changes: readonly Change[]) => void;
  readonly problemAt: (place: Place) => string | null;
  /** Resolves to the id under which it is kept, or null. */
  readonly add: <K extends 'machine' | 'material'>(kind: K, record: NewRecordOf[K]) => Promise<string | null>;
  readonly remove: (kind: 'machine' | 'material', id: string) => void;
  /** The last change in words, or null. */
  readonly last: string | null;
  readonly undo: () => void;
}

interface Step {
  readonly words: string;
  readonly back: () => Promise<Answer<unknown>>;
}

export function useWorkshop(): LiveWorkshop {
  const [kept, setKept] = useState<Workshop | null>(null);
  const [pending, setPending] = useState<ReadonlyMap<string, Change>>(new Map());
  const [problems, setProblems] = useState<ReadonlyMap<string, string>>(new Map());
  const [problem, setProblem] = useState<Problem | null>(null);
  const [steps, setSteps] = useState<readonly Step[]>([]);
  const truth = useRef<Workshop | null>(null);
  const undoable = useRef<readonly Step[]>([]);
  const isRefreshAsked = useRef(false);
  const inOrder = useOrder();
  const keepSteps = useCallback((next: readonly Step[]) => {
    undoable.current = next;
    setSteps(next);
  }, []);

  const take = useCallback((answer: Answer<Workshop>): Answer<Workshop> => {
    if (answer.ok) {
      truth.current = answer.value;
      setKept(answer.value);
    }
    return answer;
  }, []);
  /** In its turn, so that what is heard while a change is on its way is not lost; asked twice before its turn it is done once. */
  const refresh = useCallback(() => {
    if (isRefreshAsked.current) return;
    isRefreshAsked.current = true;
    void inOrder(async () => {
      isRefreshAsked.current = false;
      const answer = take(await getWorkshop());
      setProblem(answer.ok ? null : answer.problem);
    });
  }, [inOrder, take]);
  useEffect(() => {
    document.title = 'Workshop – Helmwright';
    refresh();
  }, [refresh]);
  const lost = useEvents('/api/events', ['workshop'], {
    open: refresh,
    event: refresh,
  });

  /** Puts one value, on top of what other windows changed elsewhere in the record. */
  const put = useCallback(
    async (change: Change): Promise<Answer<Workshop>> => {
      const before = valueIn(truth.current, change);
      for (let tries = 0; ; tries++) {
        const record = recordIn(truth.current, change);
        if (record === null) return { ok: false, problem: gone(change) };
        const answer = take(await keepRecord(change.kind, change.id, withValue(record, change.path, change.value)));
        if (answer.ok || answer.problem.code !== 'OUTDATED' || tries === TRIES) return answer;
        const now = take(await getWorkshop());
        if (!now.ok) return now;
        const newer = valueIn(truth.current, change);
        if (!same(newer, before)) return { ok: false, problem: outdated(change, newer) };
      }
    },
    [take],
  );

  const set = useCallback(
    (...changes: readonly Change[]) => {
      setPending((old) => changes.reduce((map, change) => new Map(map).set(keyOf(change), change), old));
      setProblems((old) => without(old, changes.map(keyOf)));
      void inOrder(async () => {
        const done: Done[] = [];
        for (const change of changes) {
          const was = valueIn(truth.current, change);
          const answer = await put(change);
          if (answer.ok) done.push({ change, was });
          else setProblems((old) => new Map(old).set(keyOf(change), wordsOf(answer.problem)));
          setPending((old) => (old.get(keyOf(change)) === change ? without(old, [keyOf(change)]) : old));
        }
        if (done.length > 0) keepSteps([...undoable.current, stepOf(done, put, () => truth.current)]);
      });
    },
    [inOrder, put, keepSteps],
  );

  const add = useCallback<LiveWorkshop['add']>(
    (kind, record) =>
      inOrder(async () => {
        const known = new Set(idsOf(truth.current, kind));
        const answer = take(await addRecord(kind, record));
        setProblem(answer.ok ? null : answer.problem);
        if (!answer.ok) return null;
        const id = idsOf(answer.value, kind).find((each) => !known.has(each)) ?? null;
        if (id !== null) {
          const back = async (): Promise<Answer<unknown>> => take(await removeRecord(kind, id));
          keepSteps([...undoable.current, { words: `Added ${record.name}`, back }]);
        }
        return id;
      }),
    [inOrder, take, keepSteps],
  );

  const remove = useCallback<LiveWorkshop['remove']>(
    (kind, id) =>
      void inOrder(async () => {
        const record = recordIn(truth.current, { kind, id }) as RecordOf[typeof kind] | null;
        const answer = take(await removeRecord(kind, id));
        setProblem(answer.ok ? null : answer.problem);
        if (!answer.ok || record === null) return;
        const back = async (): Promise<Answer<unknown>> => take(await keepRecord(kind, id, record));
        keepSteps([...undoable.current, { words: `Removed ${record.name}`, back }]);
      }),
    [inOrder, take, keepSteps],
  );

  /** The last step when its turn has come: a change on its way is taken back, not the one before it. */
  const undo = useCallback(() => {
    void inOrder(async () => {
      const step = undoable.current.at(-1);
      if (step === undefined) return;
      keepSteps(undoable.current.slice(0, -1));
      const answer = await step.back();
      setProblem(answer.ok ? null : answer.problem);
    });
  }, [inOrder, keepSteps]);

  const workshop = useMemo(() => withPending(kept, pending), [kept, pending]);
  return {
    workshop,
    problem,
    lost,
    set,
    problemAt: (place) => problems.get(keyOf(place)) ?? null,
    add,
    remove,
    last: steps.at(-1)?.words ?? null,
    undo,
  };
}

/** How often a change is put on top of another window's before it is given up. */
const TRIES = 4;

/** Work of this page, one after the other. */
function useOrder(): <T>(work: () => Promise<T>) => Promise<T> {
  const last = useRef<Promise<unknown>>(Promise.resolve());
  return useCallback(<T>(work: () => Promise<T>): Promise<T> => {
    const done = last.current.then(work);
    last.current = done.catch(() => undefined);
    return done;
  }, []);
}

interface Done {
  readonly change: Change;
  readonly was: unknown;
}

/** Taking back stops where another window has set something else meanwhile. */
function stepOf(
  done: readonly Done[],
  put: (change: Change) => Promise<Answer<Workshop>>,
  truth: () => Workshop | null,
): Step {
  const { change, was } = done[0]!;
  return {
    words: `${change.label}: ${change.say(was)} to ${change.say(change.value)}`,
    back: async () => {
      let answer: Answer<unknown> = { ok: true, value: null };
      for (const each of done) {
        const back = { ...each.change, value: each.was };
        const now = valueIn(truth(), back);
        answer = same(now, each.change.value) ? await put(back) : { ok: false, problem: outdated(back, now) };
        if (!answer.ok) break;
      }
      return answer;
    },
  };
}

function idsOf(workshop: Workshop | null, kind: 'machine' | 'material'): readonly string[] {
  if (workshop === null) return [];
  return (kind === 'machine' ? workshop.machines : workshop.materials).map(({ id }) => id);
}

function withPending(kept: Workshop | null, pending: ReadonlyMap<string, Change>): Workshop | null {
  if (kept === null || pending.size === 0) return kept;
  const changed = <R extends WorkshopRecord>(record: R, on: { readonly kind: RecordKind; readonly id: string }): R =>
    [...pending.values()]
      .filter(({ kind, id }) => kind === on.kind && id === on.id)
      .reduce((now, { path, value }) => withValue(now, path, value), record);
  return {
    machines: kept.machines.map((each) => changed(each, { kind: 'machine', id: each.id })),
    materials: kept.materials.map((each) => changed(each, { kind: 'material', id: each.id })),
    maker: changed(kept.maker, { kind: 'maker', id: '' }),
  };
}

function keyOf({ kind, id, path }: Place): string {
  return `${kind}/${id}/${path}`;
}

function outdated({ label, value, say }: Change, newer: unknown): Problem {
  return {
    ...PLAIN,
    code: 'OUTDATED',
    status: 409,
    detail: `${label} was set to ${say(newer)} in another window meanwhile; ${say(value)} was not taken.`,
    tryThis: 'Set it again if it is right.',
  };
}

function gone({ label }: Change): Problem {
  return {
    ...PLAIN,
    code: 'NOT_FOUND',
    status: 404,
    detail: `${label} was not changed: it was removed in another window meanwhile.`,
    tryThis: 'Add it again if it is still wanted.',
  };
}

const PLAIN = { type: 'about:blank', title: '' };

function wordsOf({ detail, tryThis }: Problem): string {
  return tryThis === '' ? detail : `${detail} ${tryThis}`;
}

function without<T>(map: ReadonlyMap<string, T>, keys: readonly string[]): ReadonlyMap<string, T> {
  const next = new Map(map);
  for (const key of keys) next.delete(key);
  return next;
}
