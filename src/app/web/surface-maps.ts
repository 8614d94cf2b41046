// What can be marked on the figure while the surface is read: the reader's choice, or the map that is being read.
import type { FigureData } from '../api/figure-codec.ts';

/** By the names of their drawings, where they have one. */
export const SURFACE_MAPS = ['rings', 'filling', 'reach', 'warm'] as const;
export type SurfaceMap = (typeof SURFACE_MAPS)[number];

/** The reader has chosen none: it goes with the text. */
export const AS_READ_ALONG = 'along';
export type MapChoice = SurfaceMap | typeof AS_READ_ALONG;

export const MAP_LABELS: Readonly<Record<MapChoice, string>> = {
  along: 'what the text comes to',
  rings: 'rings of layers',
  filling: 'where filler goes',
  reach: 'what sands where',
  warm: 'walls that a sander could soften',
};

/** Those that are known for a part at least. */
export function mapsOf({ parts }: FigureData): readonly SurfaceMap[] {
  return SURFACE_MAPS.filter((map) => parts.some((part) => part[map] !== undefined));
}

/** What the reader may choose; empty where there is no choice, or nothing of the surface is read. */
export function mapChoices(chapter: string, data: FigureData): readonly MapChoice[] {
  const maps = chapter === 'surface' ? mapsOf(data) : [];
  return maps.length < 2 ? [] : [AS_READ_ALONG, ...maps];
}

export function isSurfaceMap(name: string | undefined): name is SurfaceMap {
  return (SURFACE_MAPS as readonly (string | undefined)[]).includes(name);
}

/** What is marked: as chosen, else as it is read; what is not known cannot be. */
export function chosenMap(choice: MapChoice, along: SurfaceMap): SurfaceMap {
  return choice === AS_READ_ALONG ? along : choice;
}
