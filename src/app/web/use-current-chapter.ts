// Which chapter is being read, and which of the maps of Surface: what crosses a line a little above the middle of the window.
import { useEffect, useState } from 'react';
import { isSurfaceMap, type SurfaceMap } from './surface-maps.ts';

/** 'front' above the first chapter. `turn` rises whenever the chapters on the page may have changed. */
export function useCurrentChapter(turn: unknown): string {
  const [current, setCurrent] = useState('front');
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new text brings new sections to watch
  useEffect(() => watchChapters(setCurrent), [turn]);
  return current;
}

/** The first of the maps above the drawings of the others. `turn`: as above. */
export function useCurrentMap(turn: unknown): SurfaceMap {
  const [current, setCurrent] = useState<SurfaceMap>('rings');
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new text may have lost its drawings, or gained them
  useEffect(() => watchMaps(setCurrent), [turn]);
  return current;
}

/** Calls back with the name of the chapter whenever it changes; returns how to stop. */
export function watchChapters(onChapter: (name: string) => void): () => void {
  return watchPassed('chapter', 'front', onChapter);
}

/** Calls back with the map whose drawing was passed last. */
export function watchMaps(onMap: (map: SurfaceMap) => void): () => void {
  return watchPassed('map', 'rings', (name) => isSurfaceMap(name) && onMap(name));
}

/** What the last element over the line says by its data attribute. */
function watchPassed(attribute: 'chapter' | 'map', first: string, onName: (name: string) => void): () => void {
  let last = '';
  let asked = 0;
  const look = (): void => {
    asked = 0;
    const line = window.innerHeight * 0.45;
    let name = first;
    for (const each of document.querySelectorAll<HTMLElement>(`[data-${attribute}]`))
      if (each.getBoundingClientRect().top <= line) name = each.dataset[attribute]!;
    if (name === last) return;
    last = name;
    onName(name);
  };
  const soon = (): void => {
    if (asked === 0) asked = requestAnimationFrame(look);
  };
  look();
  window.addEventListener('scroll', soon, { passive: true });
  window.addEventListener('resize', soon);
  return () => {
    cancelAnimationFrame(asked);
    window.removeEventListener('scroll', soon);
    window.removeEventListener('resize', soon);
  };
}
