// The page of a helm whose figure carries every map of Surface, with a drawing of each that has one. The lines are invented.
import { encodeFigure, type FigurePart } from '../../src/app/api/figure-codec.ts';
import type { Block } from '../../src/workshop/book/book-text.ts';
import { say } from '../../src/workshop/book/spans.ts';
import { FIXTURE_BOOK, FIXTURE_DRAWINGS, fixtureFigure } from '../unit/app/web/fixture.ts';
import { fullPage } from './full-page.ts';
import type { GivenPage } from './page-server.ts';

const MAPS = ['rings', 'reach', 'filling'] as const;
const LOREM = 'What stands between two drawings, so that one after the other can be read. ';

export function mappedPage(): GivenPage {
  const page = fullPage();
  const blocks: readonly Block[] = [
    ...between(4),
    ...MAPS.flatMap((name): Block[] => [{ b: 'drawing', name, caption: `The map of ${name}.` }, ...between(8)]),
  ];
  const chapters = FIXTURE_BOOK.chapters.map((chapter) =>
    chapter.name === 'surface' ? { ...chapter, blocks } : chapter,
  );
  const drawings = Object.fromEntries(MAPS.map((name) => [name, FIXTURE_DRAWINGS.whole!]));
  const figure = fixtureFigure(0.5);
  return {
    ...page,
    state: {
      ...page.state,
      text: { ...FIXTURE_BOOK, chapters },
      drawings: { ...FIXTURE_DRAWINGS, ...drawings },
    },
    figure: encodeFigure({ ...figure, parts: figure.parts.map(withMaps) }),
  };
}

function between(count: number): readonly Block[] {
  return Array.from({ length: count }, () => say(LOREM.repeat(4)));
}

/** Of the edges of its triangles: most for what sands where, a few at one piece for what softens. */
function withMaps(part: FigurePart, index: number): FigurePart {
  return {
    ...part,
    rings: edgesOf(part, 0, 9),
    filling: edgesOf(part, 1, 7),
    reach: edgesOf(part, 2, 2),
    warm: index === 2 ? edgesOf(part, 1, 3) : new Float32Array(),
  };
}

/** One side of every so manieth triangle. */
function edgesOf({ positions, triangles }: FigurePart, side: number, every: number): Float32Array {
  const ends: number[] = [];
  for (let t = 0; t < triangles.length; t += 3 * every)
    for (const corner of [side, (side + 1) % 3]) {
      const at = triangles[t + corner]! * 3;
      ends.push(...positions.subarray(at, at + 3));
    }
  return Float32Array.from(ends);
}
