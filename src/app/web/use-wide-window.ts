// Whether the window has room for the figure beside the text.
import { useSyncExternalStore } from 'react';

const QUERY = '(min-width: 56.25rem)';

export function useWideWindow(): boolean {
  return useSyncExternalStore(
    (changed) => {
      const list = matchMedia(QUERY);
      list.addEventListener('change', changed);
      return () => list.removeEventListener('change', changed);
    },
    () => matchMedia(QUERY).matches,
  );
}
