// Sets the drawings of a row at one scale, so that the larger model is the larger drawing. A drawing says its scale (data-scale).
import { type RefObject, useLayoutEffect } from 'react';

/** Every element of `holder` with data-drawn: drawings under the same name share the largest scale at which each has room. Set by
 *  hand, since the page's content policy takes no style that comes with a drawing. */
export function useOneScale(holder: RefObject<HTMLElement | null>): void {
  useLayoutEffect(() => {
    if (holder.current === null) return;
    const whole = holder.current;
    const scale = (): void => setOneScale(whole);
    scale();
    const sizes = new ResizeObserver(scale);
    sizes.observe(whole);
    return () => sizes.disconnect();
  });
}

function setOneScale(whole: HTMLElement): void {
  const groups = new Map<string, { svg: SVGSVGElement; mm: number; roomPx: number }[]>();
  for (const cell of whole.querySelectorAll<HTMLElement>('[data-drawn]')) {
    const group = groups.get(cell.dataset.drawn!) ?? [];
    groups.set(cell.dataset.drawn!, group);
    for (const svg of cell.querySelectorAll<SVGSVGElement>('svg[data-scale]'))
      group.push({
        svg,
        mm: svg.viewBox.baseVal.width / Number(svg.dataset.scale),
        roomPx: svg.parentElement?.clientWidth ?? 0,
      });
  }
  for (const group of groups.values()) {
    const pxPerMm = Math.min(...group.map(({ mm, roomPx }) => roomPx / mm));
    for (const { svg, mm } of group) svg.style.width = `${(pxPerMm * mm).toFixed(1)}px`;
  }
}
