// The figure in words: its caption for everybody, its description for those who cannot see it.
import type { FigureAsRead, FigureData, FigurePart } from '../api/figure-codec.ts';
import { type Arrangement, arrangementOf, hasLines, hatchedIn, showsHidden } from './figure-shown.ts';
import { type Measure, showQuantity } from './format.ts';
import type { SurfaceMap } from './surface-maps.ts';

/** On the figure while the surface is read; `none`: where the map has nothing to mark. */
const MAP_WORDS: Readonly<Record<SurfaceMap, { readonly says: string; readonly none: string }>> = {
  rings: {
    says: 'red lines run as its layers do, where they will show as rings.',
    none: 'nothing of it lies so level that its layers show as rings.',
  },
  filling: {
    says: 'filler goes where support has marked it, hatched red, up the lines where its layers start, if they start in line, and along the seams, drawn the heavier the more they are looked at.',
    none: 'filler goes along the seams, drawn the heavier the more they are looked at; support marks nothing of its outside.',
  },
  reach: {
    says: 'bare where the sander gets; then, with closer and closer lines, where the block, a finger, a swab and folded paper do.',
    none: 'the sander gets everywhere.',
  },
  warm: {
    says: 'crossed red where a sander gets to a wall so thin that its warmth could soften it: by hand or wet there.',
    none: 'nowhere does a sander get to a wall so thin that its warmth could soften it.',
  },
};

/** `map`: what is marked while the surface is read. */
export function plateCaption(shows: string, data: FigureData, map: SurfaceMap = 'rings'): string {
  const { parts, asRead } = data;
  if (asRead !== null && (shows === 'as-read' || parts.length === 0)) return asReadCaption(asRead, parts.length);
  const hatched = hatchedIn(shows, data, map);
  if (hatched !== 'none' && hatched !== 'scars')
    return `All of it; ${MAP_WORDS[hatched][hasLines(data, hatched) ? 'says' : 'none']}`;
  if (parts.length === 1)
    return `The shell, levelled${hatched === 'scars' ? '; hatched red where support holds it' : ''}.`;
  if (shows === 'model' || shows === 'wearer' || shows === 'surface') return 'The shell whole; seams in red.';
  if (arrangementOf(shows, data) === 'laid')
    return `Every piece as it lies on its machine; the grey hatching runs with the layers${hatched === 'scars' ? ', the red one stands where support holds it: turn it over to see' : ''}.`;
  if (arrangementOf(shows, data) === 'by-joins')
    return 'The pieces apart along the ways by which they are joined; each says in which join it moves.';
  const apart = 'The pieces, each drawn out along its own way';
  if (!showsHidden(shows, data)) return `${apart}.`;
  return `${apart}. Seams are red, the heavier the more they are looked at; stitched where a crease hides them, dotted where hardly anybody looks. Where few look the surface is a tone deeper.`;
}

/** Beside the letter of a piece: its name, and along the ways of the joins the numbers of those in which it moves. */
export function labelName({ name, joined }: FigurePart, arrangement: Arrangement): string {
  if (arrangement !== 'by-joins' || joined === null) return name;
  const { joins } = joined;
  const moves = joins.length === 0 ? 'stays' : `join ${joins.join(', ')}`;
  return name === '' ? moves : `${name}: ${moves}`;
}

/** One or two sentences with everything the picture tells. */
export function figureWords({ parts, sizeMm, asRead }: FigureData, measure: Measure): string {
  const sides = sizeMm.map((side) => {
    const shown = showQuantity(side, 'mm', { measure });
    return `${shown.number}${shown.unit}`;
  });
  const whole = `${sides[0]} wide, ${sides[1]} deep and ${sides[2]} high.`;
  if (parts.length === 0) return `A drawing of the model as it came, ${whole}`;
  if (parts.length === 1) return `A drawing of the shell, ${whole}${mendedWords(asRead)}`;
  const names = parts.map((part) => (part.name === '' ? part.id : `${part.id}, ${part.name}`));
  return `A drawing of ${parts.length} pieces: ${names.join('; ')}. Together they stand ${whole}${mendedWords(asRead)}`;
}

function asReadCaption({ openEdges, marks }: FigureAsRead, parts: number): string {
  const red = openEdges.length > 0 ? 'red is where its surface ends' : '';
  const numbers = marks.length > 0 ? 'the numbers stand where it was mended' : '';
  const says = ['The model as it came', red, numbers].filter((words) => words !== '').join('; ');
  return parts === 0 ? `${says}. No shell could be made of it yet.` : `${says}.`;
}

/** Once it is mended, what was done to it where. */
function mendedWords(asRead: FigureAsRead | null): string {
  if (asRead === null || asRead.marks.length === 0) return '';
  const places = asRead.marks.map(({ number, name }) => `${number}, ${name}`).join('; ');
  return ` It can be drawn as it came, with numbers where it was mended: ${places}.`;
}
