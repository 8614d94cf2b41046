// Writes where each layer starts: the maker's choice, and for each piece which side of the bed that is and how much of the track is seen.
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { LayerStarts, PieceSurface, StartKind, SurfaceRecord } from '../process/surface-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, valueAt } from './editable.ts';
import { quantity, say, term, text } from './spans.ts';

/** Up to so many pieces are told in a sentence. */
const IN_SENTENCE = 2;

export function writeStarts(build: Build, pieces: PiecesRecord, surface: SurfaceRecord): readonly Block[] {
  const asked = valueAt(build, 'surface.starts') as StartKind;
  const chosen = choice(build, 'surface.starts', {
    label: 'Where layers start',
    options: [
      { value: 'hidden', label: 'where it is seen least' },
      { value: 'back', label: 'towards the back of the wearer' },
      { value: 'spread', label: 'somewhere else each time' },
    ],
  });
  if (asked === 'spread')
    return [
      say(
        'Each layer starts ',
        chosen,
        '. That leaves no track, but a small mark in every layer, anywhere on the outside: look for them all over while you sand.',
      ),
    ];
  const total = (of: 'trackMm' | 'seamMm' | 'seenMm'): Span =>
    quantity(
      surface.pieces.reduce((sum, { starts }) => sum + starts[of], 0),
      'mm',
    );
  const few = surface.pieces.length <= IN_SENTENCE;
  return [
    say(
      'Each layer starts ',
      chosen,
      '. The starts leave a track up each outline of a piece',
      ...(few
        ? ['. ', ...surface.pieces.flatMap(pieceWords)]
        : [
            ', ',
            total('trackMm'),
            ' in all; ',
            total('seamMm'),
            ' of it run along seams, ',
            total('seenMm'),
            ' elsewhere on the outside. ',
          ]),
      'Sides and angles are those of the bed as the file of the piece lies, counter-clockwise from the right; where only the back of the bed can be set, turn the piece until that side is there.',
      ...fallbackWords(asked, surface.pieces),
    ),
    ...(few ? [] : [startTable(pieces, surface)]),
  ];
}

function pieceWords({ piece, starts }: PieceSurface): Span[] {
  return [
    term(piece),
    text(`: start it at the ${sideOf(starts)} of the bed, at `),
    degrees(starts),
    text('; '),
    quantity(starts.seenMm, 'mm'),
    text(' of '),
    quantity(starts.trackMm, 'mm'),
    text(' lie on the outside'),
    ...(starts.seamMm < 0.5 ? [] : [text(', and '), quantity(starts.seamMm, 'mm'), text(' along seams')]),
    text('. '),
  ];
}

function startTable({ pieces }: PiecesRecord, surface: SurfaceRecord): Block {
  return {
    b: 'table',
    caption: 'Where layers start on the bed',
    columns: [
      { head: 'Piece', align: 'start' },
      { head: 'Side of bed', align: 'start' },
      { head: 'Angle', align: 'end' },
      { head: 'Track', align: 'end' },
      { head: 'At seams', align: 'end' },
      { head: 'Outside', align: 'end' },
    ],
    rows: surface.pieces.map(({ piece, starts }) => [
      [term(piece), text(` ${pieces.find(({ id }) => id === piece)?.name ?? ''}`)],
      [text(sideOf(starts))],
      [degrees(starts)],
      [quantity(starts.trackMm, 'mm')],
      [quantity(starts.seamMm, 'mm')],
      [quantity(starts.seenMm, 'mm')],
    ]),
  };
}

function fallbackWords(asked: StartKind, pieces: readonly PieceSurface[]): (string | Span)[] {
  const turned = pieces.filter(({ starts }) => starts.kind !== asked).map(({ piece }) => piece);
  if (turned.length === 0) return [];
  const names = turned.flatMap((piece, i): Span[] => [
    ...(i === 0 ? [] : [text(i === turned.length - 1 ? ' and ' : ', ')]),
    term(piece),
  ]);
  const [lie, start] = turned.length === 1 ? ['lies', 'starts'] : ['lie', 'start'];
  return [' ', ...names, ` ${lie} with the wearer's back up or down, and so ${start} where it is seen least.`];
}

const SIDES = ['right', 'back right', 'back', 'back left', 'left', 'front left', 'front', 'front right'];

function sideOf({ bedDeg }: LayerStarts): string {
  return SIDES[Math.round((bedDeg ?? 0) / 45) % SIDES.length]!;
}

function degrees({ bedDeg }: LayerStarts): Span {
  return quantity(Math.round(bedDeg ?? 0) % 360, 'deg');
}
