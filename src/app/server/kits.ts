// The files of a kit, made when somebody takes them home.
import { done, type Outcome } from '../../base/findings.ts';
import type { Store } from '../../store/store.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import { modelMissing, type Sessions } from './sessions.ts';
import { URGENCY, type WorkQueue } from './work-queue.ts';

export interface Kit {
  readonly build: Build;
  readonly files: ReadonlyMap<string, Uint8Array | string>;
}

export interface Kits {
  /** Computes what is missing. Those who ask for one kit at the same time get the same. */
  make(id: string): Promise<Outcome<Kit>>;
}

export function openKits(means: {
  readonly store: Store;
  readonly queue: WorkQueue;
  readonly sessions: Sessions;
}): Kits {
  const { store, queue, sessions } = means;
  const making = new Map<Build, Promise<Outcome<Kit>>>();
  let count = 0;

  const makeNow = async (build: Build, path: string): Promise<Outcome<Kit>> => {
    count++;
    const answer = await queue.run({
      key: `kit ${count}`,
      job: { build, model: path, want: 'kit' },
      urgency: () => URGENCY.awaited,
      hooks: {},
    });
    if ('ok' in answer) return answer;
    return answer.refusal ?? done({ build, files: answer.files });
  };

  return {
    async make(id) {
      const opened = await sessions.open({ id, version: null });
      if (!opened.ok) return opened;
      const { build } = opened.value;
      const path = store.filePath(build.model.sha256);
      if (path === undefined) return modelMissing(opened.value);
      const kit = making.get(build) ?? makeNow(build, path).finally(() => making.delete(build));
      making.set(build, kit);
      return kit;
    },
  };
}
