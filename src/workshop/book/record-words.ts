// How two records of one machine or one material differ, in words: "outer pass speed 40 to 60 mm/s, power 120 to 150 W".
import { digitsOf } from '../process/currencies.ts';
import type { Machine } from '../process/machine.ts';
import type { Material } from '../process/material.ts';
import type { Money } from '../process/money.ts';

type Words = readonly [label: string, unit: string];

const MACHINE_WORDS: Readonly<Record<keyof Machine, Words | null>> = {
  id: null,
  name: ['name', ''],
  bedMm: ['bed', 'mm'],
  nozzleMm: ['nozzle', 'mm'],
  wallSpeedMmS: ['contour speed', 'mm/s'],
  outerWallSpeedMmS: ['outer pass speed', 'mm/s'],
  infillSpeedMmS: ['infill speed', 'mm/s'],
  closingSpeedMmS: ['speed of closing layers', 'mm/s'],
  supportSpeedMmS: ['support speed', 'mm/s'],
  firstLayerSpeedMmS: ['first layer speed', 'mm/s'],
  travelSpeedMmS: ['travel speed', 'mm/s'],
  accelerationMmS2: ['acceleration', 'mm/s²'],
  travelAccelerationMmS2: ['travel acceleration', 'mm/s²'],
  junctionDeviationMm: ['rounding of corners', 'mm'],
  maxFlowMm3S: ['most flow', 'mm³/s'],
  shortestLayerS: ['shortest layer', 's'],
  retractionS: ['time lost between islands', 's'],
  layerChangeS: ['time lost a layer', 's'],
  startUpS: ['start-up', 's'],
  clearanceMm: ['clearance', 'mm'],
  powerW: ['power', 'W'],
  price: ['price', ''],
  loaded: ['material it holds', ''],
  measured: ['measured prints', ''],
  revision: null,
};

const MATERIAL_WORDS: Readonly<Record<keyof Material, Words | null>> = {
  id: null,
  name: ['name', ''],
  densityGCm3: ['density', 'g/cm³'],
  filamentMm: ['filament', 'mm'],
  packG: ['pack', 'g'],
  packPrice: ['price of a pack', ''],
  revision: null,
};

/** Every field that differs, in the order of the record; empty when only the revision does. */
export function recordWords<T extends Machine | Material>(before: T, after: T): string {
  const table: Readonly<Record<string, Words | null>> = 'bedMm' in after ? MACHINE_WORDS : MATERIAL_WORDS;
  const old = before as Readonly<Record<string, unknown>>;
  const now = after as Readonly<Record<string, unknown>>;
  return Object.entries(table)
    .flatMap(([key, words]) => {
      if (words === null || JSON.stringify(old[key] ?? null) === JSON.stringify(now[key] ?? null)) return [];
      const [label, unit] = words;
      if (key === 'measured') return [`${label} ${countOf(old[key])} to ${countOf(now[key])}`];
      return [`${label} ${shownValue(old[key])} to ${shownValue(now[key])}${unit === '' ? '' : `\u00a0${unit}`}`];
    })
    .join(', ');
}

function countOf(value: unknown): number {
  return Array.isArray(value) ? value.length : 0;
}

/** What a field of a machine or a material is called. */
export function fieldWords(key: string): string {
  const known: Readonly<Record<string, Words | null>> = { ...MATERIAL_WORDS, ...MACHINE_WORDS };
  return known[key]?.[0] ?? key;
}

/** Any value of a build file as a reader wants it. */
export function shownValue(value: unknown): string {
  if (value === null || value === undefined) return 'not set';
  if (typeof value === 'number') return plainNumber(value);
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return `“${value}”`;
  if (Array.isArray(value)) {
    const short = value.length <= 3 && value.every((each) => typeof each === 'number');
    return short ? value.map((each: number) => plainNumber(each)).join(' × ') : `${value.length} values`;
  }
  if (isMoney(value)) return moneyWords(value);
  const named = (value as { readonly name?: unknown }).name;
  return typeof named === 'string' ? named : 'other values';
}

function plainNumber(value: number): string {
  const words = String(Math.round(value * 1000) / 1000);
  return words.startsWith('-') ? `−${words.slice(1)}` : words;
}

function isMoney(value: object): value is Money {
  return 'minor' in value && 'currency' in value;
}

function moneyWords({ minor, currency }: Money): string {
  const digits = digitsOf(currency);
  return `${(minor / 10 ** digits).toFixed(digits)} ${currency}`;
}
