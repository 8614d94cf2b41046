// Currencies an amount can be noted in. Plain data: the page reads it without the schemas.

/** Digits after the point by ISO 4217. */
export const CURRENCIES = [
  { code: 'EUR', name: 'euros', digits: 2 },
  { code: 'GBP', name: 'pounds sterling', digits: 2 },
  { code: 'USD', name: 'US dollars', digits: 2 },
  { code: 'CAD', name: 'Canadian dollars', digits: 2 },
  { code: 'AUD', name: 'Australian dollars', digits: 2 },
  { code: 'NZD', name: 'New Zealand dollars', digits: 2 },
  { code: 'CHF', name: 'Swiss francs', digits: 2 },
  { code: 'SEK', name: 'Swedish kronor', digits: 2 },
  { code: 'NOK', name: 'Norwegian kroner', digits: 2 },
  { code: 'DKK', name: 'Danish kroner', digits: 2 },
  { code: 'PLN', name: 'Polish zloty', digits: 2 },
  { code: 'CZK', name: 'Czech koruna', digits: 2 },
  { code: 'JPY', name: 'yen', digits: 0 },
] as const;

export function digitsOf(currency: string): number {
  return CURRENCIES.find(({ code }) => code === currency)?.digits ?? 2;
}
