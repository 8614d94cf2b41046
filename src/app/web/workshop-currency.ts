// The one currency in which the workshop's amounts are noted.
import { useState } from 'react';
import type { LiveWorkshop } from './workshop-live.ts';
import { inCurrency, notedIn } from './workshop-money.ts';

const CURRENCY_KEY = 'helmwright-currency';

/** That of the amounts that are noted; before any is, the one this browser chose last. */
export function useCurrency(live: LiveWorkshop): readonly [string, (code: string) => void] {
  const [chosen, setChosen] = useState(() => readChosen());
  const noted = live.workshop === null ? [] : notedIn(live.workshop);
  const current = noted[0]?.money.currency ?? chosen;
  const choose = (code: string): void => {
    setChosen(code);
    try {
      localStorage.setItem(CURRENCY_KEY, code);
    } catch {
      // A browser that keeps nothing still takes the amounts.
    }
    const changes = noted.map(({ change, money }) => ({ ...change, value: inCurrency(money, code) }));
    if (changes.length > 0) live.set(...changes);
  };
  return [current, choose];
}

function readChosen(): string {
  try {
    return localStorage.getItem(CURRENCY_KEY) ?? 'EUR';
  } catch {
    return 'EUR';
  }
}
