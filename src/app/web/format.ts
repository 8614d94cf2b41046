// Sets quantities as a reader wants them: millimetres or inches, grams or kilograms, hours and minutes.
import type { Unit } from '../../workshop/book/book-text.ts';

export type Measure = 'mm' | 'inch';

/** In a table a column keeps one unit; in a sentence a quantity takes the unit that reads best. */
type Place = 'sentence' | 'table';

export interface Shown {
  readonly number: string;
  /** With the space before it, if there is one: " mm", "°". */
  readonly unit: string;
}

export interface ShowOptions {
  readonly digits: number;
  readonly measure: Measure;
  readonly place: Place;
}

export const SHOW_DEFAULTS: ShowOptions = { digits: 0, measure: 'mm', place: 'sentence' };

const NARROW = '\u202f';
const NO_BREAK = '\u00a0';
const MM_PER_INCH = 25.4;
const MM_PER_FOOT = 304.8;

interface Scale {
  /** Shown = record / per. */
  readonly per: number;
  readonly unit: string;
  readonly extraDigits: number;
}

const METRIC: Readonly<Record<Unit, Scale>> = {
  mm: { per: 1, unit: `${NO_BREAK}mm`, extraDigits: 0 },
  mm2: { per: 100, unit: `${NO_BREAK}cm²`, extraDigits: 0 },
  mm3: { per: 1000, unit: `${NO_BREAK}cm³`, extraDigits: 0 },
  g: { per: 1, unit: `${NO_BREAK}g`, extraDigits: 0 },
  m: { per: 1, unit: `${NO_BREAK}m`, extraDigits: 0 },
  s: { per: 1, unit: `${NO_BREAK}s`, extraDigits: 0 },
  deg: { per: 1, unit: '°', extraDigits: 0 },
  percent: { per: 1, unit: '%', extraDigits: 0 },
  count: { per: 1, unit: '', extraDigits: 0 },
  factor: { per: 1, unit: '', extraDigits: 0 },
  'mm/s': { per: 1, unit: `${NO_BREAK}mm/s`, extraDigits: 0 },
  'mm/s2': { per: 1, unit: `${NO_BREAK}mm/s²`, extraDigits: 0 },
};

const INCH: Readonly<Partial<Record<Unit, Scale>>> = {
  mm: { per: MM_PER_INCH, unit: `${NO_BREAK}in`, extraDigits: 2 },
  mm2: { per: MM_PER_INCH ** 2, unit: `${NO_BREAK}in²`, extraDigits: 1 },
  mm3: { per: MM_PER_INCH ** 3, unit: `${NO_BREAK}in³`, extraDigits: 1 },
  m: { per: MM_PER_FOOT / 1000, unit: `${NO_BREAK}ft`, extraDigits: 0 },
  'mm/s': { per: MM_PER_INCH, unit: `${NO_BREAK}in/s`, extraDigits: 2 },
  'mm/s2': { per: MM_PER_INCH, unit: `${NO_BREAK}in/s²`, extraDigits: 1 },
};

/** How a unit of the record is shown: the divisor, the words after the number, and how many more digits it wants. */
export function scaleOf(unit: Unit, measure: Measure): Scale {
  return (measure === 'inch' ? INCH[unit] : undefined) ?? METRIC[unit];
}

/** A computed quantity as it stands in a sentence or a table. `value` is in the record's unit; areas and volumes show in cm. */
export function showQuantity(value: number, unit: Unit, options: Partial<ShowOptions> = {}): Shown {
  const { digits, measure, place } = { ...SHOW_DEFAULTS, ...options };
  if (unit === 's') return { number: showDuration(value), unit: '' };
  if (unit === 'g' && place === 'sentence' && Math.abs(value) >= 1000)
    return { number: showNumber(value / 1000, 2), unit: `${NO_BREAK}kg` };
  const scale = scaleOf(unit, measure);
  return { number: showNumber(value / scale.per, digits + scale.extraDigits), unit: scale.unit };
}

/** A number that the maker sets: always in one unit, so that what is typed is what was shown. */
export function showSetting(value: number, unit: Unit, digits: number, measure: Measure): Shown {
  const scale = scaleOf(unit, measure);
  return { number: showNumber(value / scale.per, digits + scale.extraDigits), unit: scale.unit };
}

/** "41 h 20 min", "12 min", "4 min 30 s", "8 s"; rounded to the last unit shown. */
export function showDuration(seconds: number): string {
  if (!Number.isFinite(seconds)) return '–';
  if (seconds < 59.5) return `${Math.round(seconds)}${NO_BREAK}s`;
  if (seconds < 599.5) {
    const whole = Math.round(seconds);
    const rest = whole % 60;
    const minutes = `${Math.floor(whole / 60)}${NO_BREAK}min`;
    return rest === 0 ? minutes : `${minutes}${NO_BREAK}${rest}${NO_BREAK}s`;
  }
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes}${NO_BREAK}min`;
  const hours = `${grouped(String(Math.floor(minutes / 60)))}${NO_BREAK}h`;
  const rest = minutes % 60;
  return rest === 0 ? hours : `${hours}${NO_BREAK}${rest}${NO_BREAK}min`;
}

/** Fixed digits, groups of three by a narrow space, a true minus, and never "-0". */
export function showNumber(value: number, digits: number): string {
  if (!Number.isFinite(value)) return '–';
  const fixed = Math.abs(value).toFixed(digits);
  const minus = value < 0 && Number(fixed) !== 0 ? '−' : '';
  const [whole, fraction] = fixed.split('.');
  return `${minus}${grouped(whole!)}${fraction === undefined ? '' : `.${fraction}`}`;
}

function grouped(whole: string): string {
  return whole.replace(/\B(?=(\d{3})+$)/g, NARROW);
}
