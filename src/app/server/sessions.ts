// The books the server holds open: each computed in the background, its news told to every page that shows it.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { Cancelled } from '../../base/work.ts';
import type { Store, StoredBuild } from '../../store/store.ts';
import { readBuild } from '../../workshop/book/build-file.ts';
import type { BuildState, Computing, ServerEvent } from '../api/api.ts';
import { type BookRef, writeRef } from '../api/beside.ts';
import type { AnswerShelf } from '../worker/answer-shelf.ts';
import type { HouseEvents } from './house-events.ts';
import { bugProblem, problemOf } from './problem.ts';
import {
  endInTrouble,
  endStopped,
  freshSession,
  isComputed,
  type Session,
  standOn,
  stateOf,
  takeChapter,
  takeComputed,
  takeDraft,
} from './session.ts';
import { cardOf, cardToKeep } from './shelf-cards.ts';
import { URGENCY, type WorkQueue } from './work-queue.ts';
import type { WorkshopRecords } from './workshop-records.ts';

export interface Sessions {
  /** The open book; opened, and what is missing of it begun, if need be. */
  open(ref: BookRef): Promise<Outcome<Session>>;
  /** The same only if it is open already. */
  known(id: string): Session | undefined;
  state(session: Session): BuildState;
  /** Another version stands: what follows from it is computed in the background. */
  stand(session: Session, stored: StoredBuild): Outcome<BuildState>;
  /** Stops computing; what was known stays. */
  stop(session: Session): BuildState;
  /** Begins what is missing. */
  compute(session: Session): BuildState;
  /** Tells news until the function that is returned is called. */
  listen(session: Session, listener: (event: ServerEvent) => void): () => void;
  /** The build was taken off the shelf. */
  forget(id: string): void;
  /** Offers have changed. */
  tellAll(): void;
  /** Computes nothing more, and waits for what is being kept. */
  close(): Promise<void>;
}

export interface SessionMeans {
  readonly store: Store;
  readonly queue: WorkQueue;
  readonly answers: Pick<AnswerShelf, 'get' | 'figure'>;
  readonly workshop: Pick<WorkshopRecords, 'current'>;
  readonly house: HouseEvents;
}

/** Books that nobody looks at are closed beyond this many; a closed one opens again in a few milliseconds. */
const MOST_OPEN = 24;
/** Pages of many builds hear of progress this often. */
const SHELF_PROGRESS_MS = 1000;

export function openSessions({ store, queue, answers, workshop, house }: SessionMeans): Sessions {
  const open = new Map<string, Session>();
  const opening = new Map<string, Promise<Outcome<Session>>>();
  const keeping = new Set<Promise<void>>();
  let closed = false;
  const toldShelfAt = new WeakMap<Session, number>();

  const state = (session: Session): BuildState => stateOf(session, workshop.current());
  const tell = (session: Session): void => {
    if (session.listeners.size === 0) return;
    const data = state(session);
    for (const listener of session.listeners) listener({ event: 'state', data });
  };
  const tellShelf = (session: Session): void => {
    if (session.ref.version !== null) return;
    toldShelfAt.set(session, Date.now());
    house.tell({ event: 'shelf', data: cardOf(session.stored, session) });
  };
  const keepCard = async (session: Session): Promise<void> => {
    if (session.ref.version !== null) return;
    const card = cardToKeep(session);
    session.stored = { ...session.stored, card };
    tellShelf(session);
    await store.keepCard(session.ref.id, card);
  };
  const ended = (session: Session): void => {
    tell(session);
    // A card that is not kept is made anew after the next computation; the reason is in the log.
    const kept = keepCard(session).catch((error: unknown) => void bugProblem(error));
    keeping.add(kept);
    void kept.finally(() => keeping.delete(kept));
  };
  const tellProgress = (session: Session, computing: Computing): void => {
    session.computing = computing;
    for (const listener of session.listeners) listener({ event: 'progress', data: computing });
    if (Date.now() - (toldShelfAt.get(session) ?? 0) > SHELF_PROGRESS_MS) tellShelf(session);
  };

  const compute = (session: Session): void => {
    queue.drop(session.key);
    const attempt = ++session.attempt;
    if (closed) return;
    const kept = answers.get(session.build);
    const figure = kept === undefined ? undefined : answers.figure(session.build);
    if (kept !== undefined && figure !== undefined) {
      takeComputed(session, { ...kept, figure });
      ended(session);
      return;
    }
    const model = store.filePath(session.build.model.sha256);
    if (model === undefined) {
      endInTrouble(session, problemOf(modelMissing(session)));
      ended(session);
      return;
    }
    session.computing = { chapter: 'reading', fraction: 0, doing: 'waiting for the engine' };
    session.trouble = null;
    tell(session);
    tellShelf(session);
    void run(session, attempt, model);
  };

  const run = async (session: Session, attempt: number, model: string): Promise<void> => {
    const isNew = (): boolean => session.attempt === attempt;
    const { build, figureIs } = session;
    try {
      const answer = await queue.run({
        key: session.key,
        job: { build, model, want: 'book' },
        urgency: () => (session.listeners.size > 0 ? URGENCY.read : URGENCY.idle),
        hooks: {
          progress: (chapter, fraction, doing) => {
            if (isNew()) tellProgress(session, { chapter, fraction, doing });
          },
          chapter: (_news, text) => {
            if (!isNew()) return;
            takeChapter(session, text);
            tell(session);
          },
          ...(figureIs === 'whole'
            ? {}
            : {
                draft: (figure: Uint8Array) => {
                  if (!isNew()) return;
                  takeDraft(session, figure);
                  tell(session);
                },
              }),
        },
      });
      if (!isNew()) return;
      if ('ok' in answer) endInTrouble(session, problemOf(answer));
      else takeComputed(session, answer);
    } catch (error) {
      if (!isNew()) return;
      if (error instanceof Cancelled) {
        endStopped(session);
        tell(session);
        tellShelf(session);
        return;
      }
      endInTrouble(session, bugProblem(error));
    }
    ended(session);
  };

  const openNow = async (ref: BookRef): Promise<Outcome<Session>> => {
    const stored = await store.getBuild(ref.id);
    if (stored === undefined) return noBuild(ref.id);
    const version = ref.version === null ? stored : await store.version(ref.id, ref.version);
    if (version === undefined) return refuse('NOT_FOUND', `The build has no version ${ref.version}.`);
    const build = readBuild(version.build);
    if (!build.ok) return build;
    closeUnused();
    const standing =
      ref.version === null ? stored : { ...stored, version: ref.version, canUndo: false, canRedo: false };
    const session = freshSession(ref, standing, build.value);
    open.set(session.key, session);
    compute(session);
    return done(session);
  };

  const closeUnused = (): void => {
    const unused = [...open.values()].filter((each) => each.listeners.size === 0 && each.computing === null);
    unused.sort((a, b) => a.usedAt - b.usedAt);
    for (const session of unused.slice(0, Math.max(0, open.size + 1 - MOST_OPEN))) open.delete(session.key);
  };

  return {
    async open(ref) {
      const key = writeRef(ref);
      const session = open.get(key);
      if (session !== undefined) {
        session.usedAt = Date.now();
        return done(session);
      }
      const begun = opening.get(key) ?? openNow(ref).finally(() => opening.delete(key));
      opening.set(key, begun);
      return begun;
    },
    known: (id) => open.get(id),
    state,
    stand(session, stored) {
      const read = standOn(session, stored);
      if (!read.ok) return read;
      compute(session);
      return done(state(session));
    },
    stop(session) {
      if (session.computing === null) return state(session);
      session.attempt++;
      queue.drop(session.key);
      endStopped(session);
      tell(session);
      tellShelf(session);
      return state(session);
    },
    compute(session) {
      if (session.computing === null && !isComputed(session)) compute(session);
      return state(session);
    },
    listen(session, listener) {
      session.listeners.add(listener);
      queue.reconsider();
      return () => {
        session.listeners.delete(listener);
        session.usedAt = Date.now();
      };
    },
    forget(id) {
      for (const [key, session] of open) {
        if (session.ref.id !== id) continue;
        open.delete(key);
        session.attempt++;
        queue.drop(key);
        for (const listener of session.listeners) listener({ event: 'removed', data: null });
      }
      house.tell({ event: 'shelf', data: null });
    },
    tellAll() {
      for (const session of open.values()) tell(session);
    },
    async close() {
      closed = true;
      for (const session of open.values()) session.attempt++;
      queue.close();
      await Promise.all(keeping);
    },
  };
}

export function noBuild(id: string): ReturnType<typeof refuse> {
  return refuse('NOT_FOUND', `There is no build "${id.slice(0, 60)}".`);
}

export function modelMissing(session: Session): ReturnType<typeof refuse> {
  return refuse('MODEL_MISSING', `The model file ${session.build.model.file} is no longer in the data folder.`);
}
