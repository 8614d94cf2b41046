// What the figure shows at which chapter.
import type { FigureData } from '../api/figure-codec.ts';

export type Arrangement = 'together' | 'apart' | 'by-joins' | 'laid' | 'as-read';

/** Where few look is told in the chapter that is about it. */
export function showsHidden(chapter: string, { parts }: FigureData): boolean {
  return chapter === 'pieces' && parts.some(({ exposure }) => exposure !== null);
}

/** scars: where support holds. rings: where layers show. */
export type Hatched = 'scars' | 'rings' | 'none';

/** Scars of support are told where the pieces lie on their machines, rings where the surface is looked at. */
export function hatchedIn(chapter: string, { parts }: FigureData): Hatched {
  if (chapter === 'printing' && parts.some(({ scars = [] }) => scars.length > 0)) return 'scars';
  if (chapter === 'surface' && parts.some(({ rings = [] }) => rings.length > 0)) return 'rings';
  return 'none';
}

/** The figure follows the chapter; the title page shows what the whole book is about: the pieces. */
export function arrangementOf(chapter: string, { parts, asRead }: FigureData): Arrangement {
  if (asRead !== null && (chapter === 'as-read' || parts.length === 0)) return 'as-read';
  if (parts.length === 1) return 'together';
  if (chapter === 'model' || chapter === 'wearer' || chapter === 'surface') return 'together';
  if (chapter === 'printing' || chapter === 'beds')
    return parts.every((part) => part.toLaid !== null) ? 'laid' : 'apart';
  if (chapter === 'joints' || chapter === 'assembly')
    return parts.every(({ joined }) => joined !== null) ? 'by-joins' : 'apart';
  return 'apart';
}
