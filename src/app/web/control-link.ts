// Links that lead to a control in the text: /builds/ID#CHAPTER/PATH. Following one brings the control into view and focuses it.
import { type MouseEvent, useCallback, useEffect } from 'react';

/** The part of an address after the page's own. */
export function controlHash({ chapter, path }: { readonly chapter: string; readonly path: string }): string {
  return `#${chapter}/${path}`;
}

/** Follows the address's own hash once the text is there and whenever it changes; the result follows a link that was clicked, also
 *  when the address has it already. */
export function useControlLinks(isThere: boolean): (event: MouseEvent<HTMLAnchorElement>) => void {
  useEffect(() => {
    if (!isThere) return;
    const follow = (): void => void goTo(location.hash);
    follow();
    window.addEventListener('hashchange', follow);
    return () => window.removeEventListener('hashchange', follow);
  }, [isThere]);
  return useCallback((event) => {
    const { hash } = event.currentTarget;
    if (hash === location.hash && goTo(hash)) event.preventDefault();
  }, []);
}

/** True when there was such a control, or such a chapter. */
function goTo(hash: string): boolean {
  const [chapter, path] = decodeURIComponent(hash.slice(1)).split('/');
  if (chapter === undefined || path === undefined) return false;
  const control = controlAt(path);
  if (control === null) {
    const section = document.getElementById(chapter);
    section?.scrollIntoView();
    return section !== null;
  }
  control.scrollIntoView({ block: 'center' });
  control.focus({ preventScroll: true });
  return true;
}

/** The control at this path, else the first below or above it: a decision may name a whole record. */
function controlAt(path: string): HTMLElement | null {
  const all = [...document.querySelectorAll<HTMLElement>('[data-path]')];
  const at = (test: (known: string) => boolean): HTMLElement | undefined =>
    all.find((each) => test(each.dataset.path ?? ''));
  const holder =
    at((known) => known === path) ??
    at((known) => known.startsWith(`${path}.`)) ??
    at((known) => path.startsWith(`${known}.`));
  return holder?.querySelector<HTMLElement>('input, select, button') ?? null;
}
