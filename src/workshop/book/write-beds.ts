// Writes the Beds chapter.
import { listed } from '../../base/listed.ts';
import type { BedLoad, BedsRecord } from '../process/beds-record.ts';
import { hourOf } from '../process/hour-words.ts';
import { sameBeds } from './bed-names.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { machineWords } from './machine-words.ts';
import { countWord, quantity, say, term, text } from './spans.ts';

export function writeBeds(build: Build, beds: BedsRecord | null): readonly Block[] {
  const blocks: Block[] = [copiesSentence(build), handsSentence(build), aimSentence(build), spoolSentence(build)];
  if (beds === null) return blocks;
  return [
    ...blocks,
    doneSentence(build, beds),
    othersSentence(beds),
    bedTable(build, beds),
    {
      b: 'drawing',
      name: 'bed-hours',
      caption: `The hours of ${beds.spools.length === 1 ? 'the machine' : 'each machine'}: a bar a bed, with its number; shaded, nobody is awake.`,
    },
    ...sameBeds(beds).map((numbers): Block => bedDrawing(beds.loads[numbers[0]! - 1]!, numbers)),
    ...spoolsTold(build, beds),
    say(
      'Pieces that share a bed go up together, layer by layer: one start for all, and no waiting for a layer to cool while another is being laid. A failure takes all of them.',
    ),
  ];
}

function copiesSentence(build: Build): Block {
  return say(
    'It is printed ',
    editable(build, 'beds.copies', { label: 'Copies', unit: 'count', digits: 0, step: 1 }),
    build.beds.copies === 1 ? ' time' : ' times',
    ', with ',
    editable(build, 'beds.gapMm', { label: 'Gap between pieces', unit: 'mm', digits: 0, step: 1 }),
    ' or more between two pieces on a bed.',
  );
}

function handsSentence(build: Build): Block {
  const hour = (key: 'startsH' | 'wakingFromH' | 'wakingToH', label: string): Span =>
    editable(build, `beds.${key}`, {
      label,
      unit: 'count',
      digits: Number.isInteger(build.beds[key]) ? 0 : 2,
      step: 1,
    });
  return say(
    'The first prints start at ',
    hour('startsH', 'Hour of the first start'),
    ' o’clock. Beds are changed between ',
    hour('wakingFromH', 'Awake from'),
    ' and ',
    hour('wakingToH', 'Awake until'),
    ' o’clock; each takes ',
    editable(build, 'beds.changeoverMin', { label: 'Minutes of a changeover', unit: 'count', digits: 0, step: 5 }),
    ' minutes of hands. A print runs through the night and may end in it; the next starts in the morning.',
  );
}

function aimSentence(build: Build): Block {
  return say(
    'Of all plans take the one that ',
    choice(build, 'beds.aim', {
      label: 'Which plan',
      options: [
        { value: 'soonest', label: 'is done soonest' },
        { value: 'surest', label: 'loses the fewest hours to failures' },
      ],
    }),
    '.',
  );
}

function spoolSentence(build: Build): Block {
  const { packG } = build.material;
  return say(
    ...build.machines.flatMap(({ id }, index) => [
      index === 0 ? 'On the spool of ' : index === build.machines.length - 1 ? ' and on that of ' : ', on that of ',
      build.machines.length === 1 ? 'the machine' : term(machineWords(build, index)),
      index === 0 ? ' there are now ' : ' ',
      editable(build, `beds.leftG.${id}`, {
        label: 'Left on the spool',
        unit: 'g',
        digits: 0,
        step: 50,
        missing: packG,
      }),
    ]),
    '; a full one holds ',
    quantity(packG, 'g'),
    '.',
  );
}

function doneSentence(build: Build, { loads, endsS, startsS, spools, found, lostS }: BedsRecord): Block {
  const changes = loads.length - spools.length;
  const failS = lostS - loads.length * 60 * build.beds.changeoverMin;
  const on =
    build.machines.length === 1
      ? 'All'
      : spools.length === 1
        ? `On ${machineOf(build, spools[0]!.machine)} alone all`
        : `On ${countWord(spools.length)} machines all`;
  return say(
    `${on} is printed by `,
    term(hourOf(endsS)),
    ', ',
    quantity(endsS - startsS, 's'),
    ' after the first start. ',
    changes === 0
      ? 'No bed has to be changed.'
      : `You change ${changes === 1 ? 'a bed once' : `beds ${changes === 2 ? 'twice' : `${countWord(changes)} times`}`}.`,
    ' What fails has to be printed again: in the mean that costs ',
    quantity(failS, 's'),
    found === 'exact'
      ? ' more. No other beds, machines or order would be better.'
      : ' more. There are too many ways to try them all; this is the best of those tried.',
  );
}

/** A difference of less is none, seconds. */
const SAME_S = 60;

function othersSentence({ endsS, others }: BedsRecord): Block {
  const laterS = others.apartS - endsS;
  const soonerS = endsS - others.alwaysAwakeS;
  return say(
    laterS > SAME_S
      ? 'With every piece on a bed of its own it would be done '
      : 'With every piece on a bed of its own it would be done no later',
    ...(laterS > SAME_S ? [quantity(laterS, 's'), ' later'] : []),
    soonerS > SAME_S
      ? '; with somebody to change beds at night too, '
      : '; somebody to change beds at night too would win nothing',
    ...(soonerS > SAME_S ? [quantity(soonerS, 's'), ' sooner'] : []),
    '.',
  );
}

function bedTable(build: Build, { loads, copies }: BedsRecord): Block {
  return {
    b: 'table',
    caption: 'Beds, with what each lays and what it leaves on the spool',
    columns: [
      { head: 'Bed', align: 'start' },
      { head: 'Pieces', align: 'start' },
      { head: 'Starts', align: 'end' },
      { head: 'Ends', align: 'end' },
      { head: 'Filament', align: 'end' },
      { head: 'Left', align: 'end' },
    ],
    rows: loads.map((load, index) => [
      [term(String(index + 1))],
      [
        text(piecesOf(load, copies)),
        ...(build.machines.length === 1 ? [] : [text(`, ${machineOf(build, load.machine).replace(' ', NO_BREAK)}`)]),
      ],
      [text(hourOf(load.startsS))],
      [text(hourOf(load.endsS))],
      [quantity(load.filamentG + load.supportG, 'g')],
      [quantity(load.leftG, 'g')],
    ]),
  };
}

const NO_BREAK = '\u00a0';

/** "A, C 2": which of the copies, where there are several. */
function piecesOf({ places }: BedLoad, copies: number): string {
  return places.map(({ piece, copy }) => (copies === 1 ? piece : `${piece}${NO_BREAK}${copy}`)).join(', ');
}

function bedDrawing(load: BedLoad, numbers: readonly number[]): Block {
  const beds = numbers.length === 1 ? `Bed ${numbers[0]}` : `Beds ${listed(numbers.map(String))}`;
  const what = load.places.map(({ piece }) => piece).join(', ');
  const gap = load.gapMm === null ? '' : `; the nearest stand ${load.gapMm.toFixed(1)} mm apart`;
  return { b: 'drawing', name: `bed-${numbers[0]}`, caption: `${beds}: ${what}${gap}.` };
}

function spoolsTold(build: Build, { loads, spools }: BedsRecord): readonly Block[] {
  return spools.map(({ machine, filamentG, fresh }) => {
    const own = loads.filter((load) => load.machine === machine);
    const ends = own.flatMap((load) => load.spoolEnds.map((end) => ({ ...end, bed: loads.indexOf(load) + 1 })));
    const metres = own.reduce((sum, { filamentM }) => sum + filamentM, 0);
    return say(
      build.machines.length === 1 ? 'The machine' : term(capital(machineOf(build, machine))),
      ' lays ',
      quantity(filamentG, 'g'),
      ', ',
      quantity(metres, 'm'),
      fresh === 0
        ? '; what is on its spool is enough.'
        : `. Have ${countWord(fresh)} full ${fresh === 1 ? 'spool' : 'spools'} ready beside the one it holds: `,
      ...(fresh === 0
        ? []
        : [
            ...ends.flatMap(({ atS, heightMm, bed }, index): (string | Span)[] => [
              index === 0 ? 'it runs out on ' : index === ends.length - 1 ? ' and on ' : ', on ',
              term(hourOf(atS)),
              ` (bed ${bed}, `,
              quantity(heightMm, 'mm'),
              ' up)',
            ]),
            '.',
          ]),
    );
  });
}

function machineOf(build: Build, id: string): string {
  return machineWords(
    build,
    build.machines.findIndex((machine) => machine.id === id),
  );
}

function capital(words: string): string {
  return `${words[0]!.toUpperCase()}${words.slice(1)}`;
}
