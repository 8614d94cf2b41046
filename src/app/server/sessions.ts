// The builds the server holds open: each with its text, figure and progress; one engine computes for all.
import { createHash, randomUUID } from 'node:crypto';
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { Cancelled } from '../../base/work.ts';
import type { Store, StoredBuild } from '../../store/store.ts';
import type { BookText, Drawings } from '../../workshop/book/book-text.ts';
import { type Build, readBuild } from '../../workshop/book/build-file.ts';
import { followsOf } from '../../workshop/book/editable.ts';
import type { BuildChange, BuildState, BuildSummary, Computing, Problem, ServerEvent } from '../api/api.ts';
import type { Engine } from '../worker/engine-host.ts';
import type { Answer } from '../worker/protocol.ts';
import { changeBuild } from './change-build.ts';
import { bugProblem, problemOf } from './problem.ts';

export interface Sessions {
  list(): readonly BuildSummary[];
  add(build: Build, model: Uint8Array): string;
  state(id: string): Outcome<BuildState>;
  change(id: string, change: BuildChange): Outcome<BuildState>;
  step(id: string, way: 'undo' | 'redo'): Outcome<BuildState>;
  cancel(id: string): Outcome<BuildState>;
  figure(id: string): Outcome<Uint8Array>;
  /** Computes what is missing and returns every file of the kit. */
  kit(id: string): Promise<Outcome<ReadonlyMap<string, Uint8Array | string>>>;
  listen(id: string, listener: (event: ServerEvent) => void): Outcome<() => void>;
}

/** How many steps back a build remembers. */
const UNDO_STEPS = 200;

interface Session {
  stored: StoredBuild;
  build: Build;
  turn: number;
  text: BookText | null;
  drawings: Drawings;
  figure: Uint8Array;
  figureTurn: number;
  computing: Computing | null;
  stale: ReadonlySet<string>;
  trouble: Problem | null;
  readonly listeners: Set<(event: ServerEvent) => void>;
}

export function openSessions(store: Store, engine: Engine): Sessions {
  const open = new Map<string, Session>();
  let runningFor: Session | null = null;

  const find = (id: string): Outcome<Session> => {
    const known = open.get(id);
    if (known !== undefined) return done(known);
    const stored = store.getBuild(id);
    if (stored === undefined) return refuse('NOT_FOUND', `There is no build "${id.slice(0, 60)}".`);
    const build = readBuild(stored.build);
    if (!build.ok) return build;
    const session = freshSession(stored, build.value);
    open.set(id, session);
    void compute(session);
    return done(session);
  };

  const compute = async (session: Session): Promise<void> => {
    if (runningFor === session) engine.cancel();
    const { turn } = session;
    session.computing = { chapter: 'reading', fraction: 0, doing: 'waiting for the engine' };
    tell(session);
    const model = store.getModel(session.build.model.sha256);
    if (model === undefined) {
      endWithTrouble(
        session,
        problemOf(
          refuse('MODEL_MISSING', `The model file ${session.build.model.file} is no longer in the data folder.`),
        ),
      );
      return;
    }
    try {
      const answer = await runWhenFree(session, turn, model);
      if (answer === 'outdated') return;
      if ('ok' in answer) endWithTrouble(session, problemOf(answer));
      else takeAnswer(session, answer);
    } catch (error) {
      if (session.turn !== turn) return;
      session.computing = null;
      if (!(error instanceof Cancelled)) session.trouble = bugProblem(error);
      tell(session);
    }
  };

  const runWhenFree = async (
    session: Session,
    turn: number,
    model: Uint8Array,
  ): Promise<Answer | Refusal | 'outdated'> => {
    const job = { build: session.build, model, want: 'book' } as const;
    const answer = await engine.run(job, {
      progress: (chapter, fraction, doing) => {
        if (session.turn !== turn) return;
        runningFor = session;
        session.computing = { chapter, fraction, doing };
        for (const listener of session.listeners) listener({ event: 'progress', data: session.computing });
      },
    });
    if (runningFor === session) runningFor = null;
    return session.turn === turn ? answer : 'outdated';
  };

  const put = (
    session: Session,
    build: Build,
    rest: Pick<StoredBuild, 'undo' | 'redo'>,
    changed: readonly string[],
  ): void => {
    session.stored = { id: session.stored.id, build, ...rest, changed: new Date().toISOString() };
    store.putBuild(session.stored);
    session.build = build;
    session.turn++;
    session.stale = new Set([...session.stale, ...changed]);
    void compute(session);
  };

  return {
    list: () => store.listBuilds().map(({ id, build, changed }) => ({ id, title: (build as Build).name, changed })),
    add(build, model) {
      store.putModel(build.model.sha256, model);
      const same = store.listBuilds().find((known) => JSON.stringify(known.build) === JSON.stringify(build));
      if (same !== undefined) return same.id;
      const stored: StoredBuild = { id: randomUUID(), build, undo: [], redo: [], changed: new Date().toISOString() };
      store.putBuild(stored);
      return stored.id;
    },
    state(id) {
      const session = find(id);
      return session.ok ? done(stateOf(session.value)) : session;
    },
    change(id, change) {
      const session = find(id);
      if (!session.ok) return session;
      const { stored, build } = session.value;
      const changed = changeBuild(build, change);
      if (!changed.ok) return changed;
      const undo = [...stored.undo, build].slice(-UNDO_STEPS);
      put(session.value, changed.value, { undo, redo: [] }, followsOf(change.path));
      return done(stateOf(session.value));
    },
    step(id, way) {
      const session = find(id);
      if (!session.ok) return session;
      const { stored, build } = session.value;
      const from = way === 'undo' ? stored.undo : stored.redo;
      const target = readBuild(from.at(-1));
      if (!target.ok) return done(stateOf(session.value));
      const rest = from.slice(0, -1);
      const stacks =
        way === 'undo' ? { undo: rest, redo: [...stored.redo, build] } : { undo: [...stored.undo, build], redo: rest };
      put(session.value, target.value, stacks, []);
      return done(stateOf(session.value));
    },
    cancel(id) {
      const session = find(id);
      if (!session.ok) return session;
      if (runningFor === session.value) engine.cancel();
      return done(stateOf(session.value));
    },
    figure(id) {
      const session = find(id);
      return session.ok ? done(session.value.figure) : session;
    },
    async kit(id) {
      const session = find(id);
      if (!session.ok) return session;
      const model = store.getModel(session.value.build.model.sha256);
      if (model === undefined) return refuse('MODEL_MISSING', 'The model file is no longer in the data folder.');
      const answer = await engine.run({ build: session.value.build, model, want: 'kit' });
      if ('ok' in answer) return answer;
      return answer.refusal ?? done(answer.files);
    },
    listen(id, listener) {
      const session = find(id);
      if (!session.ok) return session;
      session.value.listeners.add(listener);
      return done(() => session.value.listeners.delete(listener));
    },
  };
}

/** A build for an uploaded model, before any choice. */
export function modelHash(model: Uint8Array): string {
  return createHash('sha256').update(model).digest('hex');
}

function freshSession(stored: StoredBuild, build: Build): Session {
  return {
    stored,
    build,
    turn: 1,
    text: null,
    drawings: {},
    figure: new Uint8Array(),
    figureTurn: 0,
    computing: null,
    stale: new Set(),
    trouble: null,
    listeners: new Set(),
  };
}

function takeAnswer(session: Session, answer: Answer): void {
  session.text = answer.text;
  session.drawings = answer.drawings;
  if (!sameBytes(session.figure, answer.figure)) {
    session.figure = answer.figure;
    session.figureTurn++;
  }
  session.computing = null;
  session.stale = new Set();
  session.trouble = null;
  tell(session);
}

function endWithTrouble(session: Session, problem: Problem): void {
  session.computing = null;
  session.trouble = problem;
  tell(session);
}

function tell(session: Session): void {
  const data = stateOf(session);
  for (const listener of session.listeners) listener({ event: 'state', data });
}

function stateOf(session: Session): BuildState {
  return {
    id: session.stored.id,
    turn: session.turn,
    build: session.build,
    text: session.text,
    drawings: session.drawings,
    computing: session.computing,
    stale: [...session.stale],
    figureTurn: session.figureTurn,
    trouble: session.trouble,
    canUndo: session.stored.undo.length > 0,
    canRedo: session.stored.redo.length > 0,
  };
}

function sameBytes(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && Buffer.compare(a, b) === 0;
}
