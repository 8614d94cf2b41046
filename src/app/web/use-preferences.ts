// The reader's preferences while the page is open.
import { useCallback, useState } from 'react';
import { applyPaper, keepPreferences, type Preferences, readPreferences } from './preferences.ts';

export function usePreferences(): readonly [Preferences, (change: Partial<Preferences>) => void] {
  const [preferences, setPreferences] = useState(readPreferences);
  const change = useCallback((wanted: Partial<Preferences>) => {
    setPreferences((old) => ({ ...old, ...wanted }));
    const next = { ...readPreferences(), ...wanted };
    keepPreferences(next);
    applyPaper(next.paper);
  }, []);
  return [preferences, change];
}
