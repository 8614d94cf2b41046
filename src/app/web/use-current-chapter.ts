// Which chapter is being read: the one that crosses a line a little above the middle of the window.
import { useEffect, useState } from 'react';

/** 'front' above the first chapter. `turn` rises whenever the chapters on the page may have changed. */
export function useCurrentChapter(turn: unknown): string {
  const [current, setCurrent] = useState('front');
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new text brings new sections to watch
  useEffect(() => watchChapters(setCurrent), [turn]);
  return current;
}

/** Calls back with the name of the chapter whenever it changes; returns how to stop. */
export function watchChapters(onChapter: (name: string) => void): () => void {
  const sections = [...document.querySelectorAll<HTMLElement>('[data-chapter]')];
  let last = '';
  let asked = 0;
  const look = (): void => {
    asked = 0;
    const line = window.innerHeight * 0.45;
    let name = 'front';
    for (const section of sections) if (section.getBoundingClientRect().top <= line) name = section.dataset.chapter!;
    if (name === last) return;
    last = name;
    onChapter(name);
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
