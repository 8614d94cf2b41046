// Findings and refusals that have a place: each gets a small letter, and its place in the figure's space.
import { applyTransform, invertTransform } from '../../mesh/transform.ts';
import type { BookText, ChapterName } from '../../workshop/book/book-text.ts';
import { type FigureData, placeInFigure } from '../api/figure-codec.ts';
import type { Placed, Point } from './reader.ts';

export interface FoundPlace {
  /** Pieces have capitals, mends numbers. */
  readonly letter: string;
  readonly finding: Placed;
  readonly chapter: ChapterName;
  readonly at: Point;
}

/** In the order of the margins. A finding whose place the figure cannot tell gets no letter. */
export function placesOf(text: BookText | null, figure: FigureData | null): readonly FoundPlace[] {
  if (text === null || figure === null) return [];
  const places: FoundPlace[] = [];
  for (const { name, margin, blocks } of text.chapters) {
    const refused = blocks.filter((block) => block.b === 'refusal');
    const found = margin.flatMap((block) => (block.b === 'finding' ? [block.finding] : []));
    for (const finding of [...refused, ...found]) {
      const at = placeOf(figure, finding);
      if (at !== null) places.push({ letter: letterAt(places.length), finding, chapter: name, at });
    }
  }
  return places;
}

function placeOf(figure: FigureData, { where }: Placed): Point | null {
  if (where === undefined) return null;
  if (where.space !== 'laid' || where.atMm === undefined) return placeInFigure(figure, where);
  const toLaid = figure.parts.find(({ id }) => id === where.piece)?.toLaid ?? null;
  return toLaid === null ? null : applyTransform(invertTransform(toLaid), where.atMm);
}

/** a to z, then aa, ab and so on. */
function letterAt(index: number): string {
  const last = String.fromCharCode(97 + (index % 26));
  return index < 26 ? last : `${letterAt(Math.trunc(index / 26) - 1)}${last}`;
}
