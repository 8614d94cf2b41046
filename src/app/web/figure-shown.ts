// What the figure shows at which chapter.
import type { FigureData, PartLines } from '../api/figure-codec.ts';
import { mapsOf, type SurfaceMap } from './surface-maps.ts';

export type Arrangement = 'together' | 'apart' | 'by-joins' | 'laid' | 'as-read';

/** Where few look is told in the chapter that is about it. */
export function showsHidden(chapter: string, { parts }: FigureData): boolean {
  return chapter === 'pieces' && parts.some(({ exposure }) => exposure !== null);
}

/** scars: where support holds. The others: see SURFACE_MAPS. */
export type Hatched = 'scars' | SurfaceMap | 'none';

/** Scars of support are told where the pieces lie on their machines; where the surface is looked at, one of its maps. */
export function hatchedIn(chapter: string, data: FigureData, map: SurfaceMap = 'rings'): Hatched {
  if (chapter === 'printing' && hasLines(data, 'scars')) return 'scars';
  if (chapter === 'surface' && mapsOf(data).includes(map)) return map;
  return 'none';
}

export function hasLines({ parts }: FigureData, name: PartLines): boolean {
  return parts.some((part) => (part[name] ?? []).length > 0);
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
