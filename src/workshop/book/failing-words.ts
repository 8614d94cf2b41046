// Says how prints fail, what that costs in hours and filament, and what fewer or more prints would take.
import type { Print, PrintingRecord } from '../process/printing-record.ts';
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

/** The print likeliest to fail, what to reckon with for all, and the same work in other numbers of prints. */
export function riskSentences({ prints, divisions, totals }: PrintingRecord): readonly Block[] {
  const worst = prints.reduce((most, print) => (print.risk.failingShare > most.risk.failingShare ? print : most));
  return [
    say(
      term(worst.piece),
      ` is lost in one of ${triesWord(worst)} tries. With what has to be printed again, reckon with `,
      quantity(totals.expectedS, 's'),
      ' of the machine and ',
      quantity(totals.lostG, 'g'),
      ' of filament more than the table says, if you are neither lucky nor unlucky.',
    ),
    ...otherSentence(prints.length, divisions),
  ];
}

function triesWord({ risk }: Print): string {
  return countWord(Math.max(1, Math.round(1 / risk.failingShare)));
}

function otherSentence(own: number, divisions: PrintingRecord['divisions']): readonly Block[] {
  const now = divisions[own - 1];
  if (now === undefined) return [];
  const best = divisions.reduce((least, other) => (other.expectedS < least.expectedS ? other : least));
  const told = [own - 1, own + 1, best.prints].filter((count, i, all) => count > 0 && all.indexOf(count) === i);
  const others = told.flatMap((count) => divisions.filter(({ prints }) => prints === count && prints !== own));
  const savedS = now.expectedS - best.expectedS;
  return [
    say(
      'The same work would take ',
      ...others.flatMap(({ prints, expectedS }, i) => [
        ...(i === 0 ? [] : [i === others.length - 1 ? ' and ' : ', ']),
        quantity(Math.abs(expectedS - now.expectedS), 's'),
        ` ${expectedS > now.expectedS ? 'more' : 'less'} in ${countWord(prints)}${i === 0 ? (prints === 1 ? ' print' : ' prints') : ''}`,
      ]),
      savedS > 0 && best.prints > own
        ? ': shorter prints lose less when they fail. Against that stand the seams that they bring, which cost hands.'
        : ': no other number of prints would be done sooner.',
    ),
  ];
}
