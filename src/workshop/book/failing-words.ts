// Says how prints fail, what that costs in hours and filament, and what fewer or more prints would take.
import type { PrintingRecord } from '../process/printing-record.ts';
import type { Block } from './book-text.ts';
import type { Build } from './build-file.ts';
import { editable } from './editable.ts';
import { countWord, quantity, say, term } from './spans.ts';

export function failingSentence(build: Build): Block {
  return say(
    'A print fails on its way about once in ',
    editable(build, 'print.hoursAFailure', { label: 'Hours between failures', unit: 'count', digits: 0, step: 10 }),
    ' hours of printing, and ',
    editable(build, 'print.firstLayerFailPercent', {
      label: 'First layers that fail',
      unit: 'percent',
      digits: 0,
      step: 1,
    }),
    ' of prints on their first layer. It then begins again from nothing.',
  );
}

/** A print that is lost more often than that is told as one that does not come out. */
const HOPELESS = 0.95;

/** The print likeliest to fail, what to reckon with for all, and the same work in other numbers of prints. */
export function riskSentences({ prints, divisions, bestLengthS, totals }: PrintingRecord): readonly Block[] {
  const worst = prints.reduce((most, print) => (print.risk.failingShare > most.risk.failingShare ? print : most));
  const { failingShare } = worst.risk;
  if (failingShare > HOPELESS)
    return [
      say(
        term(worst.piece),
        ' would be lost in ',
        quantity(100 * failingShare, 'percent', 0),
        ' of tries: it can hardly be printed as it is. In the long run prints of about ',
        quantity(bestLengthS, 's'),
        ' lose the fewest hours.',
      ),
    ];
  return [
    say(
      term(worst.piece),
      ' is lost in ',
      quantity(100 * failingShare, 'percent', 0),
      ' of tries. With what has to be printed again, reckon with ',
      quantity(totals.expectedS, 's'),
      ' of the machine and ',
      quantity(totals.lostG, 'g'),
      ' of filament more than the table says, if you are neither lucky nor unlucky.',
    ),
    ...otherSentence(prints.length, divisions),
    say('In the long run prints of about ', quantity(bestLengthS, 's'), ' lose the fewest hours.'),
  ];
}

function otherSentence(own: number, divisions: PrintingRecord['divisions']): readonly Block[] {
  const now = divisions.find(({ prints }) => prints === own);
  const others = divisions.filter(({ prints }) => prints !== own);
  if (now === undefined || others.length === 0) return [];
  const best = divisions.reduce((least, other) => (other.expectedS < least.expectedS ? other : least));
  return [
    say(
      'The same work would take ',
      ...others.flatMap(({ prints, expectedS }, i) => [
        ...(i === 0 ? [] : [i === others.length - 1 ? ' and ' : ', ']),
        quantity(Math.abs(expectedS - now.expectedS), 's'),
        ` ${expectedS > now.expectedS ? 'more' : 'less'} in ${countWord(prints)}${i === 0 ? (prints === 1 ? ' print' : ' prints') : ''}`,
      ]),
      best.prints > own
        ? ': shorter prints lose less when they fail. Against that stand the seams that they bring, which cost hands.'
        : best.prints < own
          ? ': fewer starts save more than longer prints lose, where a bed takes them.'
          : ': no other number of prints would be done sooner.',
    ),
  ];
}
