// What the chapter Printing says of failing prints.
import { expect, it } from 'vitest';
import { riskSentences } from '../../../../src/workshop/book/failing-words.ts';
import type { OtherDivision, Print, PrintingRecord } from '../../../../src/workshop/process/printing-record.ts';
import { sentences } from '../../../support/book-words.ts';

const print = (piece: string, failingShare: number): Print =>
  ({ piece, risk: { failingShare, expectedS: 36_000, lostG: 12 } }) as unknown as Print;
const record = (hours: readonly number[]): PrintingRecord =>
  ({
    prints: [print('A', 0.1), print('B', 0.17), print('C', 0.12)],
    divisions: hours.map((h, i): OtherDivision => ({ prints: i + 1, expectedS: h * 3600 })),
    totals: { expectedS: 108_000, lostG: 36 },
  }) as unknown as PrintingRecord;
const said = (hours: readonly number[]): readonly string[] => sentences(riskSentences(record(hours)));

it('names the print likeliest to fail and what to reckon with', () => {
  expect(said([40, 35, 34, 34.5])[0]).toBe(
    'B is lost in one of six tries. With what has to be printed again, reckon with 108000 s of the machine and 36 g of filament more than the table says, if you are neither lucky nor unlucky.',
  );
});

it('says what one print fewer and more would take, and the best number', () => {
  expect(said([40, 35, 34, 33.5, 33, 33.2])[1]).toBe(
    'The same work would take 3600 s more in two prints, 1800 s less in four and 3600 s less in five: shorter prints lose less when they fail. Against that stand the seams that they bring, which cost hands.',
  );
  expect(said([40, 35, 34, 34.5, 35, 36])[1]).toBe(
    'The same work would take 3600 s more in two prints and 1800 s more in four: no other number of prints would be done sooner.',
  );
});
