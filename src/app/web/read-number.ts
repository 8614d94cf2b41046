// Reads what a maker types into a number: either decimal sign, fractions of an inch, a unit of their own.
import type { Unit } from '../../workshop/book/book-text.ts';
import { type Measure, scaleOf, showSetting } from './format.ts';

export interface Range {
  readonly unit: Unit;
  readonly digits: number;
  readonly min: number;
  readonly max: number;
  readonly measure: Measure;
}

/** The value in the record's unit, or a sentence saying why not. */
export type Reading = { readonly ok: true; readonly value: number } | { readonly ok: false; readonly say: string };

const LENGTHS: Readonly<Record<string, number>> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: 25.4,
  inch: 25.4,
  '"': 25.4,
  '″': 25.4,
};

/** Lengths may carry their own unit ("8.5 in", "21 cm"); all else is read in the unit shown. */
export function readNumber(typed: string, range: Range): Reading {
  const { unit, digits, min, max, measure } = range;
  const scale = scaleOf(unit, measure);
  const match = /^([+\-−]?[\d\s.,/]+?)\s*([a-z%°"″²/]*)$/i.exec(typed.replace(/[\u202f\u00a0]/g, ' ').trim());
  const number = match === null ? null : plainNumber(match[1]!);
  if (match === null || number === null) return { ok: false, say: `A number is wanted, ${rangeWords(range)}.` };
  const own = unit === 'mm' ? LENGTHS[match[2]!.toLowerCase()] : undefined;
  const value = number * (own ?? scale.per);
  // What is shown of a limit is rounded: typing it must reach the limit.
  const slack = (0.5001 * scale.per) / 10 ** (digits + scale.extraDigits);
  if (value < min - slack || value > max + slack) return { ok: false, say: `Allowed: ${rangeWords(range)}.` };
  const held = Math.min(max, Math.max(min, value));
  return { ok: true, value: Math.round(held * 1e4) / 1e4 };
}

/** "0.05 to 0.60 mm". */
export function rangeWords({ unit, digits, min, max, measure }: Range): string {
  const low = showSetting(min, unit, digits, measure);
  const high = showSetting(max, unit, digits, measure);
  return `${low.number} to ${high.number}${high.unit}`;
}

/** One step up or down in the unit shown, on the grid of steps, within the range. */
export function stepped(value: number, steps: number, range: Range & { readonly step: number }): number {
  const size = stepSize(range.step, range.unit, range.measure);
  const next = (Math.round(value / size) + steps) * size;
  const held = Math.min(range.max, Math.max(range.min, next));
  return Math.round(held * 1e4) / 1e4;
}

const INCH_STEPS = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.25, 0.5, 1, 5, 10];

function stepSize(step: number, unit: Unit, measure: Measure): number {
  const { per } = scaleOf(unit, measure);
  if (measure === 'mm' || per === 1) return step;
  const wanted = step / per;
  const nearest = INCH_STEPS.reduce((best, each) =>
    Math.abs(Math.log(each / wanted)) < Math.abs(Math.log(best / wanted)) ? each : best,
  );
  return nearest * per;
}

function plainNumber(typed: string): number | null {
  const text = typed.replace('−', '-').trim();
  const fraction = /^([+-]?)(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(text);
  if (fraction !== null) {
    const [, sign, whole, over, under] = fraction;
    const value = Number(whole ?? 0) + Number(over) / Number(under);
    return Number.isFinite(value) ? (sign === '-' ? -value : value) : null;
  }
  const joined = text.replace(/\s+/g, '').replace(',', '.');
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(joined)) return null;
  return Number(joined);
}
