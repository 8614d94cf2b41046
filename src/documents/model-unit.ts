// Which unit a model is taken in when its file does not say: by its size, and said.
import { type Finding, finding } from '../base/findings.ts';

/** Units a maker may name for a file. */
export type NamedUnit = 'mm' | 'cm' | 'm' | 'in';
/** Units a file may name itself. */
export type ModelUnit = NamedUnit | 'um' | 'ft';

export const MM_PER_UNIT: Readonly<Record<ModelUnit, number>> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: 25.4,
  um: 0.001,
  ft: 304.8,
};

/** Largest side of what is taken for millimetres without a word: from the fitting of a mask to a whole breastplate. */
export const PLAUSIBLE_MM = { from: 25, to: 1500 } as const;
/** Largest side that another unit must give to be guessed. */
export const GUESSED_MM = { from: 80, to: 1500 } as const;
/** A head with a shell around it. Of several units the one that comes closest to this, by ratio, is guessed. */
export const HEAD_MM = 250;
/** Outside of these even a unit that the file names is doubtful: a glTF scene that was written in millimetres, for one. */
export const DOUBTFUL_MM = { from: 5, to: 3000 } as const;

export interface UnitGuess {
  readonly unit: NamedUnit;
  readonly unitFrom: 'assumed' | 'guessed';
  readonly findings: readonly Finding[];
}

/** Guesses from the largest side in the file's own numbers: millimetres where they are plausible, else whichever of centimetres,
 *  metres and inches brings it within 80 to 1500 mm and closest to a head, else millimetres all the same.
 *  Findings: UNIT_GUESSED, UNIT_DOUBTFUL.  Weak: a part of 2 cm drawn in millimetres is taken for something larger; hence it is said. */
export function guessUnit(largest: number): UnitGuess {
  if (largest >= PLAUSIBLE_MM.from && largest <= PLAUSIBLE_MM.to)
    return { unit: 'mm', unitFrom: 'assumed', findings: [] };
  const likely = likelyUnits(largest);
  const [best] = likely;
  if (best === undefined) {
    const say = `Taken for millimetres, the model is ${shortNumber(largest)} mm at its largest; no usual unit makes it the size of a helmet.`;
    return { unit: 'mm', unitFrom: 'assumed', findings: [doubtful(say, largest, PLAUSIBLE_MM)] };
  }
  const others = ['mm' as const, ...likely.slice(1)].map(
    (u) => `${shortNumber(largest * MM_PER_UNIT[u])} mm in ${UNIT_WORDS[u]}`,
  );
  const say = `The file names no unit. Its largest side of ${shortNumber(largest)} was taken in ${UNIT_WORDS[best]}, which makes it ${shortNumber(largest * MM_PER_UNIT[best])} mm; it would be ${others.join(', ')}. If the unit is another, name it.`;
  const guessed = finding('UNIT_GUESSED', say, {
    where: WHERE,
    measured: largest * MM_PER_UNIT[best],
    limit: largest < PLAUSIBLE_MM.from ? PLAUSIBLE_MM.from : PLAUSIBLE_MM.to,
    unit: 'mm',
  });
  return { unit: best, unitFrom: 'guessed', findings: [guessed] };
}

/** What is said about a size in the unit that the file itself names. */
export function doubtUnit(largestMm: number, unit: ModelUnit): Finding[] {
  if (largestMm >= DOUBTFUL_MM.from && largestMm <= DOUBTFUL_MM.to) return [];
  const asNumber = largestMm / MM_PER_UNIT[unit];
  const hint = isBetween(asNumber, PLAUSIBLE_MM) ? `; if it was written in millimetres, name "mm"` : '';
  const say = `The file counts in ${unit}, which makes the model ${shortNumber(largestMm)} mm at its largest${hint}.`;
  return [doubtful(say, largestMm, DOUBTFUL_MM)];
}

export const UNIT_WORDS: Readonly<Record<ModelUnit, string>> = {
  mm: 'millimetres',
  cm: 'centimetres',
  m: 'metres',
  in: 'inches',
  um: 'micrometres',
  ft: 'feet',
};
const WHERE = { path: 'model file' };

/** Units that make the model the size of something worn, the best first. */
function likelyUnits(largest: number): NamedUnit[] {
  const away = (unit: NamedUnit) => Math.abs(Math.log((largest * MM_PER_UNIT[unit]) / HEAD_MM));
  return (['cm', 'm', 'in'] as const)
    .filter((unit) => isBetween(largest * MM_PER_UNIT[unit], GUESSED_MM))
    .sort((a, b) => away(a) - away(b));
}

function isBetween(value: number, range: { readonly from: number; readonly to: number }): boolean {
  return value >= range.from && value <= range.to;
}

function doubtful(say: string, sizeMm: number, range: { readonly from: number; readonly to: number }): Finding {
  const limit = sizeMm < range.from ? range.from : range.to;
  return finding('UNIT_DOUBTFUL', say, { where: WHERE, measured: sizeMm, limit, unit: 'mm' });
}

/** 3 significant digits, never an exponent for what can be a model. */
function shortNumber(value: number): string {
  return value >= 1000 && value < 1e9 ? String(Math.round(value)) : String(Number(value.toPrecision(3)));
}
