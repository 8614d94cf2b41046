// A section drawing as SVG text: what a plane cuts, each part hatched its own way, in a window at a stated scale.
import { escapeXml } from '../xml/xml-attribute.ts';

/** What the plane cuts of one part, mm in the plane: x to the right, y up. */
export interface SectionPart {
  readonly id: string;
  /** Closed outlines, 2 x n numbers each; inside is where an odd number of them goes round. */
  readonly loops: readonly Float64Array[];
  /** Direction of its hatching, degrees from x. */
  readonly hatchDeg: number;
  /** Between its lines, mm of paper. */
  readonly hatchMm: number;
}

export interface SectionOptions {
  readonly minMm: readonly [number, number];
  readonly maxMm: readonly [number, number];
  /** Paper over model. */
  readonly scale: number;
  /** Words on the drawing, where their middle stands; `quiet` ones are set smaller. */
  readonly names: readonly { readonly text: string; readonly x: number; readonly y: number; readonly quiet?: true }[];
  readonly title: string;
}

const INK = 'var(--ink, #1c1b1a)';
const PAPER = 'var(--paper, #fff)';
const HATCH = 'var(--shade, #6b6864)';

/** The parts as they are cut, true to scale; outlines end at the window's edge without closing along it. Cost: O(points), and hatch
 *  lines x points. */
export function sectionDrawing(parts: readonly SectionPart[], options: SectionOptions): string {
  const { minMm, maxMm, scale, title } = options;
  const [widthMm, heightMm] = [0, 1].map((c) => (maxMm[c]! - minMm[c]!) * scale) as [number, number];
  const toPaper = (x: number, y: number): string =>
    `${short((x - minMm[0]) * scale)} ${short(heightMm - (y - minMm[1]) * scale)}`;
  const near = parts.map((part) => ({ ...part, loops: part.loops.filter((loop) => meetsWindow(loop, options)) }));
  const hatched = near.map((part) => strokesOf(hatchLines(part, options), toPaper)).join('');
  const outlined = near
    .map(({ id, loops }) => {
      const d = strokesOf(
        loops.flatMap((loop) => clippedSides(loop, options)),
        toPaper,
      );
      return d === '' ? '' : `<path data-part="${escapeXml(id)}" d="${d}"/>`;
    })
    .join('');
  const size = `width="${short(widthMm)}mm" height="${short(heightMm)}mm" viewBox="0 0 ${short(widthMm)} ${short(heightMm)}" data-scale="${scale}"`;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" ${size} role="img" fill="none" stroke-linecap="round" stroke-linejoin="round">` +
    `<title>${escapeXml(title)}</title>` +
    (hatched === '' ? '' : `<path stroke="${HATCH}" stroke-width="0.13" d="${hatched}"/>`) +
    `<g stroke="${INK}" stroke-width="0.4">${outlined}</g>` +
    namesOf(options, toPaper) +
    '</svg>'
  );
}

const NAME_MM = 4.2;
const QUIET_MM = 3;

function namesOf({ names }: SectionOptions, toPaper: (x: number, y: number) => string): string {
  const inside = names.map(({ text, x, y, quiet }) => {
    const [px, py] = toPaper(x, y).split(' ').map(Number) as [number, number];
    const size = quiet === undefined ? NAME_MM : QUIET_MM;
    const weight = quiet === undefined ? 650 : 400;
    return `<text x="${short(px)}" y="${short(py + 0.36 * size)}" font-size="${size}" font-weight="${weight}">${escapeXml(text)}</text>`;
  });
  return `<g class="names" text-anchor="middle" fill="${INK}" stroke="${PAPER}" stroke-width="1.4" paint-order="stroke">${inside.join('')}</g>`;
}

type Line = readonly [number, number, number, number];

function strokesOf(lines: readonly Line[], toPaper: (x: number, y: number) => string): string {
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

type Window = Pick<SectionOptions, 'minMm' | 'maxMm'>;

function meetsWindow(loop: Float64Array, { minMm, maxMm }: Window): boolean {
  let [lowX, lowY, highX, highY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < loop.length; i += 2) {
    lowX = Math.min(lowX, loop[i]!);
    highX = Math.max(highX, loop[i]!);
    lowY = Math.min(lowY, loop[i + 1]!);
    highY = Math.max(highY, loop[i + 1]!);
  }
  return lowX < maxMm[0] && highX > minMm[0] && lowY < maxMm[1] && highY > minMm[1];
}

/** The sides of a loop, as far as they lie in the window. Method: parametric clipping, Liang and Barsky 1984. */
function clippedSides(loop: Float64Array, { minMm, maxMm }: Window): Line[] {
  const out: Line[] = [];
  for (let i = 0; i < loop.length; i += 2) {
    const j = (i + 2) % loop.length;
    const [ax, ay] = [loop[i]!, loop[i + 1]!];
    const [dx, dy] = [loop[j]! - ax, loop[j + 1]! - ay];
    let from = 0;
    let to = 1;
    for (const [d, room] of [
      [-dx, ax - minMm[0]],
      [dx, maxMm[0] - ax],
      [-dy, ay - minMm[1]],
      [dy, maxMm[1] - ay],
    ] as const) {
      if (d === 0) {
        if (room < 0) to = -1;
      } else if (d < 0) from = Math.max(from, room / d);
      else to = Math.min(to, room / d);
    }
    if (from < to) out.push([ax + from * dx, ay + from * dy, ax + to * dx, ay + to * dy]);
  }
  return out;
}

/** Parallel lines over what is inside, within the window. */
function hatchLines({ loops, hatchDeg, hatchMm }: SectionPart, options: SectionOptions): Line[] {
  const { minMm, maxMm, scale } = options;
  const [c, s] = [Math.cos((hatchDeg * Math.PI) / 180), Math.sin((hatchDeg * Math.PI) / 180)];
  const step = hatchMm / scale;
  const corners = [
    [minMm[0], minMm[1]],
    [maxMm[0], minMm[1]],
    [minMm[0], maxMm[1]],
    [maxMm[0], maxMm[1]],
  ].map(([x, y]) => -s * x! + c * y!);
  const out: Line[] = [];
  const last = Math.floor(Math.max(...corners) / step);
  for (let k = Math.ceil(Math.min(...corners) / step); k <= last; k++) {
    const height = (k + 0.5) * step;
    const meets: number[] = [];
    for (const loop of loops) {
      for (let i = 0; i < loop.length; i += 2) {
        const j = (i + 2) % loop.length;
        const a = -s * loop[i]! + c * loop[i + 1]! - height;
        const b = -s * loop[j]! + c * loop[j + 1]! - height;
        if (a < 0 === b < 0) continue;
        const f = a / (a - b);
        meets.push(c * (loop[i]! + f * (loop[j]! - loop[i]!)) + s * (loop[i + 1]! + f * (loop[j + 1]! - loop[i + 1]!)));
      }
    }
    meets.sort((a, b) => a - b);
    for (let i = 0; i + 1 < meets.length; i += 2) {
      const [from, to] = [meets[i]!, meets[i + 1]!];
      const ends = Float64Array.of(
        c * from - s * height,
        s * from + c * height,
        c * to - s * height,
        s * to + c * height,
      );
      out.push(...clippedSides(ends, options).slice(0, 1));
    }
  }
  return out;
}

function short(mm: number): string {
  return String(Math.round(mm * 100) / 100);
}
