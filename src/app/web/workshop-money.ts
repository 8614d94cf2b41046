// Amounts of money as the maker reads and types them. Nothing is converted from one currency to another.
import { digitsOf } from '../../workshop/process/currencies.ts';
import { MONEY_RANGE } from '../../workshop/process/workshop-ranges.ts';
import type { Workshop } from '../api/workshop.ts';
import { showNumber } from './format.ts';
import type { Change } from './workshop-live.ts';

export type Money = NonNullable<Workshop['maker']['hourlyRate']>;

/** "249.00"; the currency stands after it. */
export function showMoney({ minor, currency }: Money): string {
  const digits = digitsOf(currency);
  return showNumber(minor / 10 ** digits, digits);
}

/** "249.00 EUR", or "not noted". */
export function sayMoney(value: unknown): string {
  if (value === null || value === undefined) return NOT_NOTED;
  const money = value as Money;
  return `${showMoney(money)} ${money.currency}`;
}

export const NOT_NOTED = 'not noted';

export type MoneyReading =
  | { readonly ok: true; readonly value: Money | null }
  | { readonly ok: false; readonly say: string };

/** Nothing typed means not noted. Either decimal sign; groups of three may be set apart by spaces. */
export function readMoney(typed: string, currency: string): MoneyReading {
  const text = typed.replace(/[\s\u00a0\u202f]/g, '').replace(/[A-Za-z]{3}$/, '');
  if (text === '') return { ok: true, value: null };
  const digits = digitsOf(currency);
  if (!/^\d+([.,]\d*)?$/.test(text))
    return { ok: false, say: `An amount in ${currency} is wanted, as 249 or 249.50; leave it empty for ${NOT_NOTED}.` };
  const [whole = '0', part = ''] = text.split(/[.,]/);
  if (part.length > digits)
    return {
      ok: false,
      say: `${currency} has ${digits === 0 ? 'no digits' : `${digits} digits`} after the point; this has ${part.length}.`,
    };
  const minor = Number(whole) * 10 ** digits + Number(part.padEnd(digits, '0') || '0');
  if (minor > MONEY_RANGE[1])
    return { ok: false, say: `At most ${showMoney({ minor: MONEY_RANGE[1], currency })} ${currency} can be noted.` };
  return { ok: true, value: { minor, currency } };
}

interface Noted {
  readonly change: Omit<Change, 'value'>;
  readonly money: Money;
}

/** Every amount that is noted anywhere in the workshop. */
export function notedIn({ machines, materials, maker }: Workshop): readonly Noted[] {
  const noted = (change: Omit<Change, 'value' | 'say'>, money: Money | null): readonly Noted[] =>
    money === null ? [] : [{ change: { ...change, say: sayMoney }, money }];
  return [
    ...machines.flatMap(({ id, name, price }) =>
      noted({ kind: 'machine', id, path: 'price', label: `Price of ${name}` }, price),
    ),
    ...materials.flatMap(({ id, name, packPrice }) =>
      noted({ kind: 'material', id, path: 'packPrice', label: `Pack of ${name}` }, packPrice),
    ),
    ...noted({ kind: 'maker', id: '', path: 'hourlyRate', label: 'An hour of hands-on work' }, maker.hourlyRate),
    ...noted({ kind: 'maker', id: '', path: 'energyPerKwh', label: 'A kilowatt-hour' }, maker.energyPerKwh),
  ];
}

/** The same numbers under another code: 12.50 stays 12.50. */
export function inCurrency({ minor, currency }: Money, code: string): Money {
  return { minor: Math.round((minor / 10 ** digitsOf(currency)) * 10 ** digitsOf(code)), currency: code };
}
