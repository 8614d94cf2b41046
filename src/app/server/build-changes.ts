// Changes of a build: a value at a path, steps back and forth, an older version again, a copy. One at a time for each build, and
// when another process was faster, the change is made once more on what stands then: the last write at a path wins, both are kept.
import { canonicalJson } from '../../base/canonical-json.ts';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Store, StoredBuild } from '../../store/store.ts';
import { type Build, readBuild } from '../../workshop/book/build-file.ts';
import type { BuildChange, BuildCopy, BuildState, NewBuild } from '../api/api.ts';
import { changeBuild } from './change-build.ts';
import type { HouseEvents } from './house-events.ts';
import type { Session } from './session.ts';
import { noBuild, type Sessions } from './sessions.ts';
import { cardOf } from './shelf-cards.ts';

export interface BuildChanges {
  change(id: string, change: BuildChange): Promise<Outcome<BuildState>>;
  step(id: string, way: 'undo' | 'redo', steps: number): Promise<Outcome<BuildState>>;
  restore(id: string, version: number): Promise<Outcome<BuildState>>;
  copy(id: string, copy: BuildCopy): Promise<Outcome<NewBuild>>;
  /** A new build of a model that is kept already. The same build twice is one build. */
  add(build: Build): Promise<NewBuild>;
  remove(id: string): Promise<Outcome<null>>;
}

/** How often a change is made once more before it is given up. */
const TRIES = 50;

interface Step {
  readonly build: Build;
  readonly path: string;
  readonly kind: 'set' | 'restored';
}

export function openBuildChanges(means: {
  readonly store: Store;
  readonly sessions: Sessions;
  readonly house: HouseEvents;
}): BuildChanges {
  const { store, sessions, house } = means;
  const inTurn = openTurns();

  /** `next` makes the step from what stands. */
  const advance = async (id: string, next: (session: Session) => Outcome<Step>): Promise<Outcome<BuildState>> => {
    const opened = await sessions.open({ id, version: null });
    if (!opened.ok) return opened;
    const session = opened.value;
    for (let tries = 0; tries < TRIES; tries++) {
      const step = next(session);
      if (!step.ok) return step;
      if (JSON.stringify(step.value.build) === JSON.stringify(session.build)) return done(sessions.state(session));
      const kept = await store.changeBuild(id, { from: session.stored.version, ...step.value });
      const standing = kept === 'outdated' ? await store.getBuild(id) : kept;
      if (standing === undefined) return gone(id);
      const stands = sessions.stand(session, standing);
      if (kept !== 'outdated' || !stands.ok) return stands;
    }
    return refuse('OUTDATED', `The build was changed elsewhere ${TRIES} times while this change was tried.`);
  };

  const gone = (id: string): ReturnType<typeof noBuild> => {
    sessions.forget(id);
    return noBuild(id);
  };

  const added = (stored: StoredBuild): NewBuild => {
    house.tell({ event: 'shelf', data: cardOf(stored, undefined) });
    return { id: stored.id };
  };

  return {
    change: (id, change) =>
      inTurn(id, () =>
        advance(id, ({ build }) => {
          const changed = changeBuild(build, change);
          return changed.ok ? done({ build: changed.value, path: change.path, kind: 'set' }) : changed;
        }),
      ),
    step: (id, way, steps) =>
      inTurn(id, async () => {
        const opened = await sessions.open({ id, version: null });
        if (!opened.ok) return opened;
        const session = opened.value;
        const stored = await store.stepBuild(id, way, steps);
        if (stored === undefined) return gone(id);
        return stored.version === session.stored.version
          ? done(sessions.state(session))
          : sessions.stand(session, stored);
      }),
    restore: (id, number) =>
      inTurn(id, async () => {
        const version = await store.version(id, number);
        if (version === undefined) return noVersion(id, number);
        const build = readBuild(version.build);
        if (!build.ok) return build;
        return advance(id, () => done({ build: build.value, path: String(number), kind: 'restored' }));
      }),
    async copy(id, { name, version, change }) {
      const from = version === undefined ? await store.getBuild(id) : await store.version(id, version);
      if (from === undefined) return version === undefined ? noBuild(id) : noVersion(id, version);
      const renamed = readBuild({ ...(from.build as object), name });
      if (!renamed.ok) return renamed;
      const build = change === undefined ? renamed : changeBuild(renamed.value, change);
      if (!build.ok) return build;
      return done(added(await store.addBuild({ build: build.value })));
    },
    async add(build) {
      const words = canonicalJson(build);
      const same = (await store.listBuilds()).find((known) => canonicalJson(known.build) === words);
      return same === undefined ? added(await store.addBuild({ build })) : { id: same.id };
    },
    remove: (id) =>
      inTurn(id, async () => {
        const stored = await store.getBuild(id);
        if (stored === undefined) return noBuild(id);
        await store.removeBuild(id);
        const build = readBuild(stored.build);
        if (build.ok) await store.dropFile(build.value.model.sha256, BEGINNING_MS);
        sessions.forget(id);
        return done(null);
      }),
  };
}

function noVersion(id: string, number: number): ReturnType<typeof refuse> {
  return refuse('NOT_FOUND', `The build "${id.slice(0, 60)}" has no version ${number}.`);
}

/** By then a model that was sent is a build's, or was refused. */
const BEGINNING_MS = 600e3;

/** Work of one key runs one after another, that of different keys side by side. */
function openTurns(): <T>(key: string, work: () => Promise<T>) => Promise<T> {
  const last = new Map<string, Promise<unknown>>();
  return (key, work) => {
    const turn = (last.get(key) ?? Promise.resolve()).then(work, work);
    const settled = turn.catch(() => {});
    last.set(key, settled);
    void settled.then(() => {
      if (last.get(key) === settled) last.delete(key);
    });
    return turn;
  };
}
