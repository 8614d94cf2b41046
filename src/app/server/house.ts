// Everything behind the server's routes, put together: store, engine, open books, workshop.
import type { Store } from '../../store/store.ts';
import { LARGEST_ARCHIVE_BYTES, LARGEST_MODEL_BYTES } from '../api/limits.ts';
import type { AnswerShelf } from '../worker/answer-shelf.ts';
import type { Engine } from '../worker/engine-host.ts';
import { type BesideBooks, openBesideBooks } from './beside-books.ts';
import { type BuildChanges, openBuildChanges } from './build-changes.ts';
import { type HouseEvents, openHouseEvents } from './house-events.ts';
import { type Kits, openKits } from './kits.ts';
import { type ModelReader, openModelReader } from './model-reader.ts';
import { openSessions, type Sessions } from './sessions.ts';
import { openWorkQueue } from './work-queue.ts';
import { openWorkshopRecords, type WorkshopRecords } from './workshop-records.ts';

export interface House {
  readonly store: Store;
  readonly sessions: Sessions;
  readonly changes: BuildChanges;
  readonly workshop: WorkshopRecords;
  readonly beside: BesideBooks;
  readonly kits: Kits;
  readonly reader: ModelReader;
  readonly events: HouseEvents;
  readonly limits: HouseLimits;
  /** Ends all work; the store, which is the caller's, may be closed then. */
  close(): Promise<void>;
}

export interface HouseLimits {
  readonly modelBytes: number;
  readonly archiveBytes: number;
}

export const HOUSE_LIMITS: HouseLimits = { modelBytes: LARGEST_MODEL_BYTES, archiveBytes: LARGEST_ARCHIVE_BYTES };

export interface HouseMeans {
  readonly store: Store;
  readonly engine: Engine;
  /** One of its own, that reads what comes in while the other computes. */
  readonly readingEngine: Engine;
  readonly answers: Pick<AnswerShelf, 'get' | 'figure'>;
  readonly limits?: Partial<HouseLimits>;
}

export async function openHouse({ store, engine, readingEngine, answers, limits = {} }: HouseMeans): Promise<House> {
  const events = openHouseEvents();
  const queue = openWorkQueue(engine);
  const workshop = await openWorkshopRecords(store, () => {
    events.tell({ event: 'workshop', data: null });
    sessions.tellAll();
  });
  const sessions: Sessions = openSessions({ store, queue, answers, workshop, house: events });
  const reader = openModelReader(readingEngine);
  return {
    store,
    sessions,
    changes: openBuildChanges({ store, sessions, house: events }),
    workshop,
    beside: openBesideBooks(sessions),
    kits: openKits({ store, queue, sessions }),
    reader,
    events,
    limits: { ...HOUSE_LIMITS, ...limits },
    async close() {
      await Promise.all([sessions.close(), engine.close(), reader.close()]);
    },
  };
}
