// A line drawing as SVG text: widths and colours are the caller's, sizes are millimetres.
import { escapeXml } from '../xml/xml-attribute.ts';
import type { DrawingPath, LineDrawing, LineKind } from './line-drawing.ts';
import type { PlacedName } from './line-names.ts';
import { PEN_STROKES, SEAM_PENS } from './seam-pens.ts';

export interface Stroke {
  readonly widthMm: number;
  /** Any CSS colour, also var(...). */
  readonly color: string;
}

export interface SvgOptions {
  readonly strokes: Readonly<Record<LineKind, Stroke>>;
  /** Dashes of hidden lines and of ways, mm. */
  readonly hiddenDashMm: readonly [number, number];
  /** Read out for those who cannot see it. */
  readonly title: string;
}

/** The strokes of seams with a pen, in one colour. */
export function seamStrokes(color: string): Record<SeamLineKind, Stroke> {
  const entries = SEAM_PENS.map((pen) => [`seam-${pen}`, { widthMm: PEN_STROKES[pen].widthMm, color }] as const);
  return Object.fromEntries(entries) as Record<SeamLineKind, Stroke>;
}

type SeamLineKind = Extract<LineKind, `seam-${string}`>;

export const SVG_DEFAULTS: SvgOptions = {
  strokes: {
    outline: { widthMm: 0.5, color: '#1c1b1a' },
    silhouette: { widthMm: 0.35, color: '#1c1b1a' },
    crease: { widthMm: 0.18, color: '#1c1b1a' },
    seam: { widthMm: 0.35, color: '#b3401f' },
    ...seamStrokes('#b3401f'),
    shade: { widthMm: 0.09, color: '#6b6864' },
    rim: { widthMm: 0.35, color: '#b3401f' },
    hatch: { widthMm: 0.16, color: '#b3401f' },
    track: { widthMm: 0.7, color: '#b3401f' },
    way: { widthMm: 0.25, color: '#1c1b1a' },
  },
  hiddenDashMm: [0.9, 0.6],
  title: '',
};

// Light lines first, so that heavy ones lie over their ends; rims and weighted seams last, for where a surface ends there is always a
// fold too.
const ORDER: readonly LineKind[] = [
  'shade',
  'way',
  'crease',
  'hatch',
  'seam',
  'silhouette',
  'outline',
  'rim',
  'track',
  'seam-unseen',
  'seam-crease',
  'seam-fine',
  'seam-middle',
  'seam-heavy',
];

/** Standalone SVG. Every path carries data-part, so that a page can pick out one piece; data-scale, paper mm per model mm, lets it set
 *  several drawings at one scale. */
export function svgOf(drawing: LineDrawing, options: Partial<SvgOptions> = SVG_DEFAULTS): string {
  const all = { ...SVG_DEFAULTS, ...options };
  const { widthMm, heightMm, viewBox } = drawing;
  return sheetOf({ widthMm, heightMm, viewBox, scale: drawing.scale }, insideOf(drawing, all), all);
}

function insideOf(drawing: LineDrawing, options: SvgOptions): string {
  return ORDER.map((kind) => groupOf(drawing, kind, options)).join('') + namesOf(drawing.names);
}

function sheetOf(
  sheet: Pick<LineDrawing, 'widthMm' | 'heightMm' | 'viewBox' | 'scale'>,
  inside: string,
  { title: words }: SvgOptions,
): string {
  const size = `width="${short(sheet.widthMm)}mm" height="${short(sheet.heightMm)}mm" viewBox="${sheet.viewBox}" data-scale="${Number(sheet.scale.toPrecision(6))}"`;
  const title = words === '' ? '' : `<title>${escapeXml(words)}</title>`;
  const role = words === '' ? 'aria-hidden="true"' : 'role="img"';
  return `<svg xmlns="http://www.w3.org/2000/svg" ${size} ${role} fill="none" stroke-linecap="round" stroke-linejoin="round">${title}${inside}</svg>`;
}

function groupOf(drawing: LineDrawing, kind: LineKind, options: SvgOptions): string {
  const paths = drawing.paths.filter((path) => path.kind === kind);
  if (paths.length === 0) return '';
  const { widthMm, color } = options.strokes[kind];
  const inside = paths.map((path) => pathOf(path, options)).join('');
  return `<g class="${kind}" stroke="${escapeXml(color)}" stroke-width="${widthMm}">${inside}</g>`;
}

const NAME_MM = 4.2;
const STEP_RADIUS_MM = 2.9;

/** Letters over a rim of paper, so that lines under them do not run into them; numbers of steps in circles of paper. */
function namesOf(names: readonly PlacedName[]): string {
  if (names.length === 0) return '';
  const circles = names
    .filter(({ look }) => look === 'step')
    .map(
      ({ x, y }) =>
        `<circle cx="${short(x)}" cy="${short(y)}" r="${STEP_RADIUS_MM}" fill="var(--paper, #fff)" stroke="var(--ink, #1c1b1a)" stroke-width="0.3"/>`,
    )
    .join('');
  const inside = names
    .map(({ text, x, y }) => `<text x="${short(x)}" y="${short(y + 0.36 * NAME_MM)}">${escapeXml(text)}</text>`)
    .join('');
  return `${circles}<g class="names" font-size="${NAME_MM}" font-weight="650" text-anchor="middle" fill="var(--ink, #1c1b1a)" stroke="var(--paper, #fff)" stroke-width="1.4" paint-order="stroke">${inside}</g>`;
}

const DASHED: { readonly [kind in LineKind]?: readonly [number, number] | null } = {
  ...Object.fromEntries(SEAM_PENS.map((pen) => [`seam-${pen}`, PEN_STROKES[pen].dashMm])),
  track: [1.6, 1.5],
};

function pathOf(path: DrawingPath, options: SvgOptions): string {
  const dashMm = path.hidden || path.kind === 'way' ? options.hiddenDashMm : DASHED[path.kind];
  const dash = dashMm == null ? '' : ` stroke-dasharray="${dashMm.join(' ')}"`;
  return `<path data-part="${escapeXml(path.partId)}"${dash} d="${path.d}"/>`;
}

function short(mm: number): string {
  return String(Math.round(mm * 100) / 100);
}
