// Letters drawn as strokes of one width, as a nozzle or a graver would: capitals and digits of our own, on a grid of 4 by 6.

/** Polylines in units of the letter's height; x to the right, y up, from 0 to 1; xy interleaved. */
export interface StrokeGlyph {
  readonly width: number;
  readonly strokes: readonly (readonly number[])[];
}

/** Each stroke: points of the grid as pairs of digits, x 0 to 4 and y 0 to 6. Round letters are cut at the corners, so that every stroke is
 *  straight runs. */
const DRAWN: Readonly<Record<string, string>> = {
  A: '00 26 40, 12 32',
  B: '00 06 36 45 44 33 42 41 30 00, 03 33',
  C: '45 36 16 05 01 10 30 41',
  D: '00 06 26 44 42 20 00',
  E: '40 00 06 46, 03 33',
  F: '00 06 46, 03 33',
  G: '45 36 16 05 01 10 30 41 43 23',
  H: '00 06, 40 46, 03 43',
  I: '00 06',
  J: '46 41 30 10 01',
  K: '00 06, 46 03 40',
  L: '06 00 40',
  M: '00 06 23 46 40',
  N: '00 06 40 46',
  O: '01 05 16 36 45 41 30 10 01',
  P: '00 06 36 45 44 33 03',
  Q: '01 05 16 36 45 41 30 10 01, 22 40',
  R: '00 06 36 45 44 33 03, 23 40',
  S: '45 36 16 05 04 13 33 42 41 30 10 01',
  T: '06 46, 26 20',
  U: '06 01 10 30 41 46',
  V: '06 20 46',
  W: '06 10 24 30 46',
  X: '00 46, 06 40',
  Y: '06 23 46, 23 20',
  Z: '06 46 00 40',
  '0': '01 05 16 36 45 41 30 10 01, 02 44',
  '1': '15 26 20, 10 30',
  '2': '05 16 36 45 44 00 40',
  '3': '06 46 23 33 42 41 30 10 01',
  '4': '30 36 02 42',
  '5': '46 06 03 33 42 41 30 10 01',
  '6': '36 16 05 01 10 30 41 42 33 03',
  '7': '06 46 10',
  '8': '13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33',
  '9': '10 30 41 45 36 16 05 04 13 43',
};

const GRID_ROWS = 6;

/** One letter or digit; null for a sign that is not drawn. */
export function strokeGlyph(sign: string): StrokeGlyph | null {
  const drawn = DRAWN[sign];
  if (drawn === undefined) return null;
  const strokes = drawn
    .split(', ')
    .map((stroke) =>
      stroke.split(' ').flatMap((point) => [Number(point[0]) / GRID_ROWS, Number(point[1]) / GRID_ROWS]),
    );
  return { width: Math.max(...strokes.flatMap((stroke) => stroke.filter((_, i) => i % 2 === 0))), strokes };
}

/** Space between two letters, in heights. */
const SPACE = 0.3;

/** A word as one drawing, its lower left corner at 0, 0; signs that are not drawn are left out. */
export function strokeWord(word: string): StrokeGlyph {
  let width = 0;
  const strokes: number[][] = [];
  for (const sign of word) {
    const glyph = strokeGlyph(sign);
    if (glyph === null) continue;
    const from = width === 0 ? 0 : width + SPACE;
    strokes.push(...glyph.strokes.map((stroke) => stroke.map((value, i) => (i % 2 === 0 ? value + from : value))));
    width = from + glyph.width;
  }
  return { width, strokes };
}

/** An arrow that points up, its foot at 0, 0 and 1 high. */
export const STROKE_ARROW: StrokeGlyph = {
  width: 0.5,
  strokes: [
    [0.25, 0, 0.25, 1],
    [0, 0.7, 0.25, 1, 0.5, 0.7],
  ],
};
