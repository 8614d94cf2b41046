// Hours of several machines as SVG text: a row a machine, a bar a print, nights shaded, days ruled.
import { escapeXml } from '../xml/xml-attribute.ts';

export interface HoursBar {
  readonly name: string;
  readonly fromS: number;
  readonly toS: number;
}

export interface HoursRow {
  readonly label: string;
  readonly bars: readonly HoursBar[];
}

/** Seconds since a midnight. */
export interface HoursSheet {
  readonly fromS: number;
  readonly toS: number;
  /** Stretches that are shaded. */
  readonly nights: readonly (readonly [fromS: number, toS: number])[];
  readonly title: string;
}

const INK = 'var(--ink, #1c1b1a)';
const SOFT = 'var(--ink-soft, #575149)';
const PAPER = 'var(--paper, #fff)';
const RULE = 'var(--rule, #cdc6b6)';
/** The whole sheet, mm. */
const WIDE_MM = 128;
const LABEL_MM = 25;
const ROW_MM = 9;
const BAR_MM = 6;
const HEAD_MM = 6;
const WORD_MM = 3.5;
const NAME_MM = 3.8;
const DAY_S = 86400;
/** A bar narrower than its name does not carry it; a letter is about so wide. */
const LETTER_MM = 2.3;
/** Days are told no closer than this. */
const DAY_WORD_MM = 13;

/** Cost: O(bars + nights + days). */
export function hoursDrawing(rows: readonly HoursRow[], { fromS, toS, nights, title }: HoursSheet): string {
  const labelMm = rows.length > 1 ? LABEL_MM : 0;
  const perS = (WIDE_MM - labelMm) / (toS - fromS);
  const at = (s: number): number => labelMm + (Math.min(toS, Math.max(fromS, s)) - fromS) * perS;
  const highMm = HEAD_MM + rows.length * ROW_MM;
  const shaded = nights
    .filter(([from, to]) => to > fromS && from < toS)
    .map(
      ([from, to]) =>
        `<rect x="${short(at(from))}" y="${HEAD_MM}" width="${short(at(to) - at(from))}" height="${short(highMm - HEAD_MM)}"/>`,
    )
    .join('');
  const every = Math.ceil(DAY_WORD_MM / (DAY_S * perS));
  let days = '';
  let dayWords = '';
  for (let day = Math.floor(fromS / DAY_S); day * DAY_S < toS; day++) {
    const startS = day * DAY_S;
    if (startS > fromS) days += `M${short(at(startS))} ${HEAD_MM - 1.2}V${short(highMm)}`;
    // a first day of which little is left has no room for its word
    const roomMm = (Math.min(toS, startS + DAY_S) - Math.max(fromS, startS)) * perS;
    if (day % every === 0 && (roomMm >= DAY_WORD_MM - 2 || every > 1))
      dayWords += `<text class="word-of-section" x="${short(at(startS) + 0.8)}" y="${HEAD_MM - 2}" font-size="${WORD_MM}">day ${day + 1}</text>`;
  }
  const bars = rows.flatMap(({ bars: own }, row) => own.map((bar) => barOf(bar, at, HEAD_MM + row * ROW_MM))).join('');
  const labels =
    rows.length > 1
      ? rows
          .map(
            ({ label }, row) =>
              `<text class="word-of-section" x="0" y="${short(HEAD_MM + (row + 0.5) * ROW_MM + 0.36 * WORD_MM)}" font-size="${WORD_MM}">${escapeXml(label)}</text>`,
          )
          .join('')
      : '';
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDE_MM}mm" height="${short(highMm + 1)}mm" viewBox="0 0 ${WIDE_MM} ${short(highMm + 1)}" role="img" fill="none" stroke-linejoin="round">` +
    `<title>${escapeXml(title)}</title><g fill="${RULE}" opacity="0.6">${shaded}</g>` +
    `<path stroke="${SOFT}" stroke-width="0.16" d="${days}M${labelMm} ${HEAD_MM}H${WIDE_MM}M${labelMm} ${short(highMm)}H${WIDE_MM}"/>` +
    `${bars}<g fill="${SOFT}">${dayWords}${labels}</g></svg>`
  );
}

function barOf({ name, fromS, toS }: HoursBar, at: (s: number) => number, top: number): string {
  const [from, to] = [at(fromS), at(toS)];
  const y = top + (ROW_MM - BAR_MM) / 2;
  const box = `<rect x="${short(from)}" y="${short(y)}" width="${short(Math.max(0.4, to - from))}" height="${BAR_MM}" fill="${PAPER}" stroke="${INK}" stroke-width="0.3"/>`;
  if (to - from < LETTER_MM * name.length + 1) return box;
  return `${box}<text class="letter-of-piece" font-weight="650" x="${short((from + to) / 2)}" y="${short(top + ROW_MM / 2 + 0.36 * NAME_MM)}" font-size="${NAME_MM}" text-anchor="middle" fill="${INK}">${escapeXml(name)}</text>`;
}

function short(mm: number): string {
  return String(Math.round(mm * 100) / 100);
}
