// Where a seam lies and what hides it, in a maker's words.
import { listed } from '../../base/listed.ts';
import type { Seam, SeamPlaces } from '../process/pieces-record.ts';

/** From so much of its line a place is named. */
const NAMED_SHARE = 0.25;
/** Less than this of its line in view from the front counts as hidden from it. */
const HIDDEN_SHARE = 0.06;

/** From so much of its line it is told what hides it. */
const HIDING_SHARE = 0.1;

const PLACES: readonly (readonly [keyof SeamPlaces, string])[] = [
  ['creaseMm', 'in a crease'],
  ['frontMm', 'facing the front'],
  ['sidesMm', 'at the sides'],
  ['backMm', 'at the back'],
  ['aboveMm', 'on top'],
  ['unseenMm', 'out of sight'],
];

/** "at the sides and at the back, hidden from the front". Empty for a seam that has no line on the outside. */
export function seamWords(places: SeamPlaces, outerMm: number): string {
  if (outerMm < 0.5) return 'on the inside only';
  const named = PLACES.filter(([key]) => places[key] >= NAMED_SHARE * outerMm)
    .sort(([one], [other]) => places[other] - places[one])
    .map(([, words]) => words);
  const where = named.length === 0 ? 'here and there' : listed(named.slice(0, 2));
  const isHidden = places.frontMm < HIDDEN_SHARE * outerMm && !named.includes('out of sight');
  return isHidden ? `${where}, hidden from the front` : where;
}

/** "42% crease, 18% out of sight": shares of the line; what hides less than a tenth of it is not named. */
export function hiddenBy({ creaseMm, unseenMm }: SeamPlaces, outerMm: number): string {
  if (outerMm < 0.5) return 'the wall';
  const parts = [
    [creaseMm, 'crease'],
    [unseenMm, 'out of sight'],
  ] as const;
  const named = parts
    .filter(([mm]) => mm >= HIDING_SHARE * outerMm)
    .map(([mm, by]) => `${Math.round((100 * mm) / outerMm)}% ${by}`);
  return named.length === 0 ? 'nothing' : named.join(', ');
}

/** Seams between the same two pieces belong to one sentence. */
export function seamsByPair(seams: readonly Seam[]): readonly (readonly Seam[])[] {
  const pairs = new Map<string, Seam[]>();
  for (const seam of seams) {
    const key = [...seam.pieces].sort().join(' ');
    pairs.set(key, [...(pairs.get(key) ?? []), seam]);
  }
  return [...pairs.values()];
}

export function placesTogether(seams: readonly Seam[]): SeamPlaces {
  const sum = (key: keyof SeamPlaces): number => seams.reduce((total, { places }) => total + places[key], 0);
  return {
    creaseMm: sum('creaseMm'),
    frontMm: sum('frontMm'),
    sidesMm: sum('sidesMm'),
    backMm: sum('backMm'),
    aboveMm: sum('aboveMm'),
    unseenMm: sum('unseenMm'),
  };
}
