// Writes what sands where: which tool is the largest that gets to a place, by area, piece by piece, with its map.
import { listed } from '../../base/listed.ts';
import { FINISH_TOOLS } from '../facts/finishing.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import type { Block, Span } from './book-text.ts';
import { quantity, say, term, text } from './spans.ts';

/** Best first: the tool that sands fastest. */
const BEST_FIRST = FINISH_TOOLS.map((_, i) => i).reverse();

export function writeReach(pieces: PiecesRecord, surface: SurfaceRecord): readonly Block[] {
  const { areaMm2 } = surface.reach;
  const total = areaMm2.reduce((sum, area) => sum + area, 0);
  if (total === 0) return [];
  const [sander, ...smaller] = BEST_FIRST.filter((i) => i > 0);
  const rest = smaller
    .filter((i) => areaMm2[i]! > 0)
    .map((i) => `a ${FINISH_TOOLS[i]!.name} on ${percent(areaMm2[i]!, total)}`);
  return [
    say(
      `The sander gets to ${percent(areaMm2[sander!]!, total)} of the outside.`,
      ...(rest.length === 0 ? [] : [` Where it does not, the largest that does is ${listed(rest)}.`]),
      ...(areaMm2[0]! > 0
        ? [
            ' On ',
            quantity(areaMm2[0]!, 'mm2'),
            ' none of them lies flat: fold the paper there, or wrap it round a stick.',
          ]
        : []),
    ),
    {
      b: 'drawing',
      name: 'reach',
      caption: `What sands where: the sander where nothing is drawn; then, with closer and closer lines, the block, a finger, a swab, and folded paper.${surface.reach.soft.length === 0 ? '' : ' Outlined and crossed: walls so thin that the warmth of a sander could soften them.'}`,
    },
    reachTable(pieces, surface),
  ];
}

export const REACH_MODEL = say(
  'How reach is found: each tool is a flat disc with its height behind it. It reaches a place when it can stand square on it, covering it from any side, without running into anything beside it; tilted tools and fingertips poked into a corner are not reckoned with.',
);

function reachTable({ pieces }: PiecesRecord, { reach }: SurfaceRecord): Block {
  const cell = (areaMm2: number): Span[] => [areaMm2 === 0 ? text('none') : quantity(areaMm2, 'mm2')];
  return {
    b: 'table',
    caption: 'The outside by what sands it',
    columns: [
      { head: 'Piece', align: 'start' },
      ...BEST_FIRST.map((i) => ({ head: capital(FINISH_TOOLS[i]!.name), align: 'end' as const })),
    ],
    rows: reach.pieces.map(({ piece, areaMm2 }) => [
      [term(piece), text(` ${pieces.find(({ id }) => id === piece)?.name ?? ''}`)],
      ...BEST_FIRST.map((i) => cell(areaMm2[i]!)),
    ]),
  };
}

function percent(part: number, whole: number): string {
  const share = (100 * part) / whole;
  return share > 0 && share < 1
    ? 'under 1 percent'
    : `${share > 99 && share < 100 ? 'over 99' : Math.round(share)} percent`;
}

function capital(name: string): string {
  return name.slice(0, 1).toUpperCase() + name.slice(1);
}
