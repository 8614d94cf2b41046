// The workshop's machines and materials, for the choices in the text; asked for again when they change.
import { useCallback, useEffect, useState } from 'react';
import type { Workshop } from '../api/workshop.ts';
import { getWorkshop } from './server-calls.ts';

/** Null until it is known. Asked again whenever the window is come back to: it is changed on a page of its own. */
export function useWorkshopKnown(): Workshop | null {
  const [workshop, setWorkshop] = useState<Workshop | null>(null);
  const look = useCallback(() => {
    if (document.visibilityState !== 'visible') return;
    void getWorkshop().then((answer) => {
      if (answer.ok) setWorkshop(answer.value);
    });
  }, []);
  useEffect(() => {
    look();
    document.addEventListener('visibilitychange', look);
    return () => document.removeEventListener('visibilitychange', look);
  }, [look]);
  return workshop;
}
