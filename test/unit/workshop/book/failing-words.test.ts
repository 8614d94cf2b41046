// What the chapter Printing says of failing prints.
import { expect, it } from 'vitest';
import { riskSentences } from '../../../../src/workshop/book/failing-words.ts';
import type { OtherDivision, Print, PrintingRecord } from '../../../../src/workshop/process/printing-record.ts';
import { sentences } from '../../../support/book-words.ts';

const print = (piece: string, failingShare: number): Print =>
  ({ piece, risk: { failingShare, expectedS: 36_000, lostG: 12 } }) as unknown as Print;
const record = (hours: Readonly<Record<number, number>>, worst = 0.17): PrintingRecord =>
  ({
    prints: [print('A', 0.1), print('B', worst), print('C', 0.12)],
    divisions: Object.entries(hours).map(([n, h]): OtherDivision => ({ prints: Number(n), expectedS: h * 3600 })),
    bestLengthS: 36_000,
    totals: { expectedS: 108_000, lostG: 36 },
  }) as unknown as PrintingRecord;
const said = (hours: Readonly<Record<number, number>>): readonly string[] => sentences(riskSentences(record(hours)));

it('names the print likeliest to fail, what to reckon with, and the best length', () => {
  expect(said({ 2: 35, 3: 34, 4: 34.5 })[0]).toBe(
    'B is lost in 17 percent of tries. With what has to be printed again, reckon with 108000 s of the machine and 36 g of filament more than the table says, if you are neither lucky nor unlucky.',
  );
  expect(said({ 2: 35, 3: 34, 4: 34.5 })[2]).toBe('In the long run prints of about 36000 s lose the fewest hours.');
});

it('says what one print fewer and more would take, and the best number', () => {
  expect(said({ 2: 35, 3: 34, 4: 33.5, 5: 33 })[1]).toBe(
    'The same work would take 3600 s more in two prints, 1800 s less in four and 3600 s less in five: shorter prints lose less when they fail. Against that stand the seams that they bring, which cost hands.',
  );
  expect(said({ 2: 35, 3: 34, 4: 34.5 })[1]).toBe(
    'The same work would take 3600 s more in two prints and 1800 s more in four: no other number of prints would be done sooner.',
  );
  expect(said({ 1: 33, 2: 33.5, 3: 34, 4: 35 })[1]).toBe(
    'The same work would take 3600 s less in one print, 1800 s less in two and 3600 s more in four: fewer starts save more than longer prints lose, where a bed takes them.',
  );
});

it('says of a print that hardly ever comes out only that, and how long it should be', () => {
  expect(sentences(riskSentences(record({ 3: 1e20 }, 0.97)))).toEqual([
    'B would be lost in 97 percent of tries: it can hardly be printed as it is. In the long run prints of about 36000 s lose the fewest hours.',
  ]);
});
