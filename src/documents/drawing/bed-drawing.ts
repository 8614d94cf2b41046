// A printing bed from above as SVG text, true to scale: its edge, the margin kept clear, and what lies on it with half the gap round each outline.
import { escapeXml } from '../xml/xml-attribute.ts';

export interface DrawnOutline {
  /** Stands in its middle. */
  readonly name: string;
  /** Loops, xy interleaved, mm, bed space; the even-odd rule says what is inside. */
  readonly loops: readonly Float64Array[];
  /** Bed space; where its name stands. */
  readonly nameAtMm: readonly [number, number];
}

export interface DrawnBed {
  readonly widthMm: number;
  readonly depthMm: number;
  readonly marginMm: number;
  readonly gapMm: number;
  readonly outlines: readonly DrawnOutline[];
}

const INK = 'var(--ink, #1c1b1a)';
const SOFT = 'var(--ink-soft, #575149)';
const PAPER = 'var(--paper, #fff)';
const NAME_MM = 4.4;
const WORD_MM = 3.3;
const EDGE_MM = 0.5;
const CAPTION_MM = 5.5;

/** The front of the bed is at the bottom. `scale`: paper over bed. Cost: O(points). */
export function bedDrawing(
  bed: DrawnBed,
  { scale, title }: { readonly scale: number; readonly title: string },
): string {
  const [wide, deep] = [bed.widthMm * scale, bed.depthMm * scale];
  const toPaper = (x: number, y: number): string => `${short(x * scale)} ${short(deep - y * scale)}`;
  const pathOf = ({ loops }: DrawnOutline): string => loops.map((loop) => closedPath(loop, toPaper)).join('');
  const margin = bed.marginMm * scale;
  const halos = bed.outlines.map((outline) => `<path d="${pathOf(outline)}"/>`).join('');
  const pieces = bed.outlines
    .map((outline) => `<path data-part="${escapeXml(outline.name)}" d="${pathOf(outline)}"/>`)
    .join('');
  const names = bed.outlines
    .map(({ name, nameAtMm: [x, y] }) => {
      const [px, py] = toPaper(x, y).split(' ').map(Number) as [number, number];
      return `<text class="letter-of-piece" font-weight="650" x="${short(px)}" y="${short(py + 0.36 * NAME_MM)}" font-size="${NAME_MM}">${escapeXml(name)}</text>`;
    })
    .join('');
  const words = `${Math.round(bed.widthMm)} × ${Math.round(bed.depthMm)} mm`;
  const box = `${-EDGE_MM} ${-EDGE_MM} ${short(wide + 2 * EDGE_MM)} ${short(deep + EDGE_MM + CAPTION_MM)}`;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${short(wide + 2 * EDGE_MM)}mm" height="${short(deep + EDGE_MM + CAPTION_MM)}mm" viewBox="${box}" data-scale="${Number(scale.toPrecision(6))}" role="img" fill="none" stroke-linecap="round" stroke-linejoin="round">` +
    `<title>${escapeXml(title)}</title>` +
    `<g stroke="${SOFT}" stroke-opacity="0.3" stroke-width="${short(bed.gapMm * scale)}">${halos}</g>` +
    `<g stroke="${INK}" stroke-width="0.35" fill="${PAPER}" fill-rule="evenodd">${pieces}</g>` +
    `<rect x="${short(margin)}" y="${short(margin)}" width="${short(wide - 2 * margin)}" height="${short(deep - 2 * margin)}" stroke="${SOFT}" stroke-width="0.16" stroke-dasharray="0.9 0.9"/>` +
    `<rect x="0" y="0" width="${short(wide)}" height="${short(deep)}" stroke="${INK}" stroke-width="0.3"/>` +
    `<g class="names" text-anchor="middle" fill="${INK}" stroke="${PAPER}" stroke-width="1.4" paint-order="stroke">${names}</g>` +
    `<text class="word-of-section" x="${short(wide / 2)}" y="${short(deep + CAPTION_MM - 1)}" font-size="${WORD_MM}" text-anchor="middle" fill="${SOFT}">${words}</text></svg>`
  );
}

function closedPath(loop: Float64Array, toPaper: (x: number, y: number) => string): string {
  let d = '';
  for (let i = 0; i < loop.length; i += 2) d += `${i === 0 ? 'M' : 'L'}${toPaper(loop[i]!, loop[i + 1]!)}`;
  return `${d}Z`;
}

function short(mm: number): string {
  return String(Math.round(mm * 100) / 100);
}
