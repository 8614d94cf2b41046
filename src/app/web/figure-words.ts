// The figure in words: its caption for everybody, its description for those who cannot see it.
import type { FigureData } from '../api/figure-codec.ts';
import { type Measure, showQuantity } from './format.ts';

export function plateCaption(shows: string, { parts }: FigureData): string {
  if (parts.length === 1) return 'The shell, levelled.';
  if (shows === 'model' || shows === 'wearer') return 'The shell whole; seams in red.';
  if (shows === 'printing') return 'Every piece as it lies on its machine; the hatching runs with the layers.';
  return 'The pieces, each drawn out along its own way.';
}

/** One or two sentences with everything the picture tells. */
export function figureWords({ parts, sizeMm }: FigureData, measure: Measure): string {
  const sides = sizeMm.map((side) => {
    const shown = showQuantity(side, 'mm', { measure });
    return `${shown.number}${shown.unit}`;
  });
  const whole = `${sides[0]} wide, ${sides[1]} deep and ${sides[2]} high.`;
  if (parts.length === 1) return `A drawing of the shell, ${whole}`;
  const names = parts.map((part) => (part.name === '' ? part.id : `${part.id}, ${part.name}`));
  return `A drawing of ${parts.length} pieces: ${names.join('; ')}. Together they stand ${whole}`;
}
