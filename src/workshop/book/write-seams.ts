// Writes what became of the seams: a sentence for each pair of pieces, their table, the three divisions compared, and how seams are weighed.
import { listed } from '../../base/listed.ts';
import type { PiecesRecord, Proposal, ProposalName, Seam } from '../process/pieces-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import type { Block, LinePen, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { hiddenBy, placesTogether, seamReason, seamsByPair, seamWords } from './seam-words.ts';
import { countWord, offer, quantity, say, term, text } from './spans.ts';
import { heldOf } from './write-asked.ts';

/** A paragraph a pair of pieces: where their seam lies, how long it shows, what it costs. */
export function seamSentences({ seams }: PiecesRecord): readonly Block[] {
  return seamsByPair(seams).map((pair) => {
    const outerMm = sumOf(pair, 'outerMm');
    const bowMm = Math.max(...pair.map((seam) => seam.bowMm));
    return say(
      term(listed(pair.map(({ id }) => id))),
      `: ${seamWords(placesTogether(pair), outerMm)}, `,
      quantity(outerMm, 'mm', 0),
      ', as dear as ',
      quantity(sumOf(pair, 'costMm'), 'mm', 0),
      ' in full view, joined on ',
      quantity(sumOf(pair, 'areaMm2'), 'mm2', 1),
      ...(bowMm < 0.05 ? [] : ['; to lie there it leaves its plane by up to ', quantity(bowMm, 'mm', 1)]),
      '.',
    );
  });
}

export function seamTable(build: Build, record: PiecesRecord, wearer: WearerRecord): Block {
  return {
    b: 'table',
    caption: 'Seams; their cost is the length in full view that would be as much work',
    columns: [
      { head: 'Seam', align: 'start' },
      { head: 'Outside', align: 'end' },
      { head: 'Inside', align: 'end' },
      { head: 'Cost', align: 'end' },
      { head: 'Hidden by', align: 'start' },
      { head: 'Held', align: 'start', offers: true },
    ],
    rows: record.seams.map((seam) => [
      [term(seam.id)],
      [quantity(seam.outerMm, 'mm', 0)],
      [quantity(seam.innerMm, 'mm', 0)],
      [quantity(seam.costMm, 'mm', 0)],
      [text(hiddenBy(seam.places, seam.outerMm))],
      [heldOf(build, seam, record, wearer)],
    ]),
    total: [
      [text('together')],
      [quantity(sumOf(record.seams, 'outerMm'), 'mm', 0)],
      [quantity(sumOf(record.seams, 'innerMm'), 'mm', 0)],
      [quantity(sumOf(record.seams, 'costMm'), 'mm', 0)],
      [],
      [],
    ],
  };
}

const PROPOSAL_WORDS: Readonly<Record<ProposalName, string>> = {
  fewest: 'fewest pieces',
  hidden: 'well hidden seams',
  quickest: 'quickest to print',
};

/** Which of the three divisions is made, and what each of them would be; nothing where no division was needed. */
export function proposalBlocks(build: Build, record: PiecesRecord): readonly Block[] {
  if (record.proposals.length === 0) return [];
  const { proposals } = record;
  const names = Object.keys(PROPOSAL_WORDS) as readonly ProposalName[];
  const different = proposals.filter(({ sameAs }) => sameAs === null);
  const sentence = say(
    'Of three divisions this is the one with the ',
    choice(build, 'pieces.proposal', {
      label: 'Which division is made',
      options: names.map((value) => ({ value, label: PROPOSAL_WORDS[value] })),
    }),
    different.length === 1 ? '; all three came out the same.' : '.',
  );
  if (different.length === 1) return [sentence];
  return [
    sentence,
    {
      b: 'table',
      caption:
        'The divisions compared, all with flat seams: each weighs seams, pieces, support and hours, and puts one of them first. Support and hours are rough; Printing has them exactly for the one that is made',
      columns: [
        { head: 'Division', align: 'start' },
        { head: 'Pieces', align: 'end' },
        { head: 'Seam cost, flat', align: 'end' },
        { head: 'Support', align: 'end' },
        { head: 'Machine', align: 'end' },
        { head: 'Longest', align: 'end' },
      ],
      rows: proposals.map((proposal) => proposalRow(proposal, build.pieces.proposal)),
    },
    ...bowSentence(record),
    ...tradeSentence(proposals, build.pieces.proposal),
    ...different.map(
      (proposal): Block => ({
        b: 'drawing',
        name: `division-${proposal.name}`,
        caption: proposalCaption(proposal, proposals),
        pens: SEAM_PENS,
        names: namesOf(proposal, record),
      }),
    ),
  ];
}

/** What another division would have less of seam, and more of what else, where the one that is made has not the least of it. */
function tradeSentence(proposals: readonly Proposal[], made: ProposalName): readonly Block[] {
  const one = proposals.find(({ name }) => name === made)!;
  const own = proposals.find(({ name }) => name === (one.sameAs ?? made))!;
  const other = proposals.reduce(
    (least, each) => (each.sameAs === null && each.costMm < least.costMm ? each : least),
    own,
  );
  if (own.costMm - other.costMm < WORTH_TELLING_MM) return [];
  const more: (readonly (string | Span)[])[] = [];
  if (other.pieces > own.pieces) more.push([`${countWord(other.pieces - own.pieces)} more to print and glue`]);
  if (other.supportG - own.supportG > WORTH_TELLING_G)
    more.push([quantity(other.supportG - own.supportG, 'g'), ' more support to break off']);
  if (other.printS - own.printS > WORTH_TELLING_S)
    more.push([quantity(other.printS - own.printS, 's'), ' more of the machine']);
  return [
    say(
      `The division with ${PROPOSAL_WORDS[other.name]} would have `,
      quantity(own.costMm - other.costMm, 'mm', 0),
      ' less of seam cost',
      ...more.flatMap((each, i) => [i === 0 ? ', for ' : ' and ', ...each]),
      '.',
    ),
  ];
}

const WORTH_TELLING_MM = 10;
const WORTH_TELLING_G = 20;
const WORTH_TELLING_S = 3600;

/** What the bows of the one that is made have gained: the others are told as they would be before theirs. */
function bowSentence(record: PiecesRecord): readonly Block[] {
  const flat = record.proposals.find(({ name }) => name === nameOfMade(record));
  const costMm = sumOf(record.seams, 'costMm');
  if (flat === undefined || flat.costMm - costMm < WORTH_TELLING_MM) return [];
  return [
    say(
      'Led into creases and edges, the seams of the one that is made come from ',
      quantity(flat.costMm, 'mm', 0),
      ' to ',
      quantity(costMm, 'mm', 0),
      '; those of another would be led so too, if you choose it.',
    ),
  ];
}

/** Where two names are one division, the first tells it. */
function nameOfMade({ proposal, proposals }: PiecesRecord): ProposalName | null {
  return proposals.find(({ name }) => name === proposal)?.sameAs ?? proposal;
}

function proposalRow(proposal: Proposal, chosen: ProposalName): readonly (readonly Span[])[] {
  const { name, sameAs } = proposal;
  const words = PROPOSAL_WORDS[name];
  const head = name === chosen ? term(words) : text(words);
  if (sameAs !== null) return [[head, text(`, the same as ${PROPOSAL_WORDS[sameAs]}`)], [], [], [], [], []];
  return [
    [head],
    [quantity(proposal.pieces, 'count', 0)],
    [quantity(proposal.costMm, 'mm', 0)],
    [quantity(proposal.supportG, 'g', 0)],
    [quantity(proposal.printS, 's')],
    [quantity(proposal.longestPrintS, 's')],
  ];
}

function proposalCaption({ name, pieces }: Proposal, all: readonly Proposal[]): string {
  const also = all.filter(({ sameAs }) => sameAs === name).map((other) => PROPOSAL_WORDS[other.name]);
  const words = listed([PROPOSAL_WORDS[name], ...also]);
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}: ${countWord(pieces)} ${pieces === 1 ? 'piece' : 'pieces'}, from its front left and from its back right.`;
}

/** What the red lines of a drawing say. */
export const SEAM_PENS: readonly { readonly pen: LinePen; readonly says: string }[] = [
  { pen: 'heavy', says: 'in full view' },
  { pen: 'middle', says: 'looked at less' },
  { pen: 'fine', says: 'looked at little' },
  { pen: 'crease', says: 'hidden in a crease' },
  { pen: 'unseen', says: 'out of sight' },
];

/** A line a name in the drawing of a division: the seams of the one that is made by their names, those of others by number. */
function namesOf(proposal: Proposal, record: PiecesRecord): readonly (readonly Span[])[] {
  const isMade = proposal.name === nameOfMade(record);
  const seams = isMade ? record.seams : proposal.seams.map((seam, index) => ({ ...seam, id: String(index + 1) }));
  return seams
    .filter(({ outerMm }) => outerMm >= 0.5)
    .map((seam) => [term(seam.id), text('  '), quantity(seam.outerMm, 'mm', 0), text(`, ${seamReason(seam)}`)]);
}

/** How seams are weighed, for those who want another balance. */
export function weightSentences(build: Build): readonly Block[] {
  const viewer = (key: string, label: string): Span =>
    editable(build, `pieces.viewers.${key}`, { label, unit: 'factor', digits: 2, step: 0.05 });
  const weight = (key: string, label: string, step: number): Span =>
    editable(build, `pieces.weights.${key}`, { label, unit: 'mm', digits: 0, step });
  return [
    offer(
      'How much a seam is looked at: from the front ',
      viewer('front', 'Looked at from the front'),
      ', from the sides ',
      viewer('sides', 'Looked at from the sides'),
      ', from behind ',
      viewer('back', 'Looked at from behind'),
      ', from above ',
      viewer('above', 'Looked at from above'),
      ' and from below ',
      viewer('below', 'Looked at from below'),
      '; where nobody looks it still counts ',
      editable(build, 'pieces.weights.hidden', { label: 'A hidden seam', unit: 'factor', digits: 2, step: 0.01 }),
      '.',
    ),
    offer(
      'To be spared a further piece, ',
      weight('piece', 'A further piece', 50),
      ' of seam in full view are worth filling; to be spared a cut that breaks the symmetry, ',
      weight('lopsided', 'Broken symmetry', 50),
      '. To follow a crease or an edge a seam may leave its plane by ',
      editable(build, 'pieces.mostBowMm', { label: 'Most bow', unit: 'mm', digits: 0, step: 1 }),
      '.',
    ),
  ];
}

function sumOf(seams: readonly Seam[], key: 'outerMm' | 'innerMm' | 'costMm' | 'areaMm2'): number {
  return seams.reduce((total, seam) => total + seam[key], 0);
}
