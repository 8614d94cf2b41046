// Amounts are told in the digits of their own currency (ISO 4217: two for euros, none for yen).
import { expect, it } from 'vitest';
import { shownValue } from '../../../../src/workshop/book/record-words.ts';

it('tells an amount in the digits of its currency', () => {
  expect(shownValue({ minor: 24950, currency: 'EUR' })).toBe('249.50 EUR');
  expect(shownValue({ minor: 24950, currency: 'JPY' })).toBe('24950 JPY');
});
