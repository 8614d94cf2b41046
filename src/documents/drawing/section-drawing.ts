// A section drawing as SVG text: what planes cut, each part hatched its own way, views side by side at one scale over a bar.
import { escapeXml } from '../xml/xml-attribute.ts';
import {
  clippedSides,
  hatchLines,
  meetsWindow,
  type SectionLine,
  type SectionPart,
  type SectionWindow,
} from './section-lines.ts';

export interface SectionName {
  readonly text: string;
  /** Where the middle of its letters stands, mm in the plane. */
  readonly x: number;
  readonly y: number;
  /** Set smaller. */
  readonly quiet?: true;
  /** A thin line leads from the word to this place. */
  readonly to?: readonly [number, number];
}

export interface SectionView extends SectionWindow {
  readonly parts: readonly SectionPart[];
  readonly names: readonly SectionName[];
  /** A word or two under it; '' for none. */
  readonly caption: string;
}

export interface SectionSheet {
  /** Paper over model. */
  readonly scale: number;
  readonly title: string;
  /** So many mm of the model are drawn as a bar under the first view; null: no bar. */
  readonly barMm: number | null;
}

const INK = 'var(--ink, #1c1b1a)';
const SOFT = 'var(--ink-soft, #575149)';
const PAPER = 'var(--paper, #fff)';
const HATCH = 'var(--shade, #6b6864)';

/** Sizes of letters on paper, mm: pieces, and words. */
export const NAME_MM = 4.4;
export const WORD_MM = 3.5;
/** Between two views, mm of paper. */
export const VIEW_GAP_MM = 6;
const CAPTION_MM = 7.5;
const BAR_MM = 6.5;

/** The parts as they are cut, true to scale, the views with their floors at one height; outlines end at the window's edge without
 *  closing along it. Cost: O(points), and hatch lines x points. */
export function sectionSheet(views: readonly SectionView[], { scale, title, barMm }: SectionSheet): string {
  const highMm = Math.max(...views.map(({ minMm, maxMm }) => (maxMm[1] - minMm[1]) * scale));
  let x = 0;
  let inside = '';
  for (const view of views) {
    const widthMm = (view.maxMm[0] - view.minMm[0]) * scale;
    const y = highMm - (view.maxMm[1] - view.minMm[1]) * scale;
    inside += `<g transform="translate(${short(x)} ${short(y)})">${viewOf(view, scale)}</g>`;
    if (view.caption !== '') inside += wordAt(view.caption, x + widthMm / 2, highMm + CAPTION_MM - WORD_MM / 2);
    x += widthMm + VIEW_GAP_MM;
  }
  const widthMm = x - VIEW_GAP_MM;
  const captionMm = views.some(({ caption }) => caption !== '') ? CAPTION_MM : 0;
  const heightMm = highMm + captionMm + (barMm === null ? 0 : BAR_MM);
  if (barMm !== null) inside += barOf(barMm, scale, [widthMm / 2, heightMm - BAR_MM / 2]);
  const size = `width="${short(widthMm)}mm" height="${short(heightMm)}mm" viewBox="0 0 ${short(widthMm)} ${short(heightMm)}" data-scale="${scale}"`;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" ${size} role="img" fill="none" stroke-linecap="round" stroke-linejoin="round">` +
    `<title>${escapeXml(title)}</title>${inside}</svg>`
  );
}

function viewOf(view: SectionView, scale: number): string {
  const { minMm, maxMm, parts } = view;
  const heightMm = (maxMm[1] - minMm[1]) * scale;
  const toPaper = (x: number, y: number): string =>
    `${short((x - minMm[0]) * scale)} ${short(heightMm - (y - minMm[1]) * scale)}`;
  const near = parts.map((part) => ({ ...part, loops: part.loops.filter((loop) => meetsWindow(loop, view)) }));
  const hatched = near.map((part) => strokesOf(hatchLines(part, view, scale), toPaper)).join('');
  const outlined = near
    .map(({ id, loops }) => {
      const d = strokesOf(
        loops.flatMap((loop) => clippedSides(loop, view)),
        toPaper,
      );
      return d === '' ? '' : `<path data-part="${escapeXml(id)}" d="${d}"/>`;
    })
    .join('');
  return (
    (hatched === '' ? '' : `<path stroke="${HATCH}" stroke-width="0.13" d="${hatched}"/>`) +
    `<g stroke="${INK}" stroke-width="0.4">${outlined}</g>` +
    namesOf(view, toPaper)
  );
}

function namesOf({ names }: SectionView, toPaper: (x: number, y: number) => string): string {
  const leaders = names.map((name) => leaderOf(name, toPaper)).join('');
  const letters = names.map(({ text, x, y, quiet }) => {
    const [px, py] = toPaper(x, y).split(' ').map(Number) as [number, number];
    const size = quiet === undefined ? NAME_MM : WORD_MM;
    const look = quiet === undefined ? 'class="letter-of-piece" font-weight="650"' : 'class="word-of-section"';
    return `<text ${look} x="${short(px)}" y="${short(py + 0.36 * size)}" font-size="${size}">${escapeXml(text)}</text>`;
  });
  return `${leaders}<g class="names" text-anchor="middle" fill="${INK}" stroke="${PAPER}" stroke-width="1.4" paint-order="stroke">${letters.join('')}</g>`;
}

/** From the edge of the word to its place, which has a dot. */
function leaderOf({ x, y, to }: SectionName, toPaper: (x: number, y: number) => string): string {
  if (to === undefined) return '';
  const [wx, wy] = toPaper(x, y).split(' ').map(Number) as [number, number];
  const [px, py] = toPaper(...to)
    .split(' ')
    .map(Number) as [number, number];
  const from = wy + Math.sign(py - wy) * 0.62 * WORD_MM;
  const line = (stroke: string, width: number): string =>
    `<path stroke="${stroke}" stroke-width="${width}" d="M${short(wx)} ${short(from)}L${px} ${py}"/>`;
  return `${line(PAPER, 0.9)}${line(INK, 0.2)}<circle cx="${px}" cy="${py}" r="0.5" fill="${INK}"/>`;
}

function wordAt(words: string, x: number, y: number): string {
  return `<text class="word-of-section" x="${short(x)}" y="${short(y)}" font-size="${WORD_MM}" text-anchor="middle" fill="${SOFT}">${escapeXml(words)}</text>`;
}

/** A bar with a tick at either end, its length beside it, the whole in the middle of the sheet. */
function barOf(mm: number, scale: number, [middle, y]: readonly [number, number]): string {
  const words = `${mm} mm`;
  const length = mm * scale;
  const from = middle - (length + 2 + 0.5 * WORD_MM * words.length) / 2;
  const to = from + length;
  const d = `M${short(from)} ${short(y - 1)}v2M${short(from)} ${short(y)}H${short(to)}M${short(to)} ${short(y - 1)}v2`;
  return (
    `<path class="bar" stroke="${INK}" stroke-width="0.3" d="${d}"/>` +
    `<text class="word-of-section" x="${short(to + 2)}" y="${short(y + 0.36 * WORD_MM)}" font-size="${WORD_MM}" fill="${SOFT}">${words}</text>`
  );
}

function strokesOf(lines: readonly SectionLine[], toPaper: (x: number, y: number) => string): string {
  let d = '';
  let last = '';
  for (const [ax, ay, bx, by] of lines) {
    const [from, to] = [toPaper(ax, ay), toPaper(bx, by)];
    if (from === to) continue;
    d += from === last ? `L${to}` : `M${from}L${to}`;
    last = to;
  }
  return d;
}

function short(mm: number): string {
  return String(Math.round(mm * 100) / 100);
}
