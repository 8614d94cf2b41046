// News for pages that show many builds: the shelf and the workshop.
import type { HouseEvent } from '../api/api.ts';

export interface HouseEvents {
  tell(event: HouseEvent): void;
  /** Returns what ends it. */
  listen(listener: (event: HouseEvent) => void): () => void;
}

export function openHouseEvents(): HouseEvents {
  const listeners = new Set<(event: HouseEvent) => void>();
  return {
    tell(event) {
      for (const listener of listeners) listener(event);
    },
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
