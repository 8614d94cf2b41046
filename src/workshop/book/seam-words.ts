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

/** What hides most of a seam, for a label: "in a crease", "half in a crease"; "open" where nothing hides as much as that. */
export function hiddenMostly({ places, outerMm }: Pick<Seam, 'outerMm' | 'places'>): string {
  if (outerMm < 0.5) return 'inside';
  const [crease, unseen] = [places.creaseMm / outerMm, places.unseenMm / outerMm];
  if (crease + unseen < 0.4) return 'open';
  const words = crease < unseen ? 'out of sight' : 'in a crease';
  return `${partWords(Math.max(crease, unseen))}${words}`;
}

/** Where a seam lies and what hides it, in the fewest words: "mostly in a crease, the rest on the left". For the key of a drawing. */
export function seamReason(seam: Pick<Seam, 'outerMm' | 'places' | 'lines'>): string {
  const { places, outerMm } = seam;
  if (outerMm < 0.5) return 'on the inside only';
  const share = (key: keyof SeamPlaces): number => places[key] / outerMm;
  const hidden = (
    [
      ['creaseMm', 'in a crease'],
      ['unseenMm', 'out of sight'],
    ] as const
  )
    .filter(([key]) => share(key) >= HIDING_SHARE)
    .sort(([one], [other]) => share(other) - share(one))
    .map(([key, words]) => `${partWords(share(key))}${words}`);
  const open = OPEN_PLACES.filter(([key]) => share(key) >= HIDING_SHARE)
    .sort(([one], [other]) => share(other) - share(one))
    .slice(0, 2)
    .map(([key, words]) => (key === 'sidesMm' ? sideWords(seam) : words));
  if (hidden.length === 0) return open.length === 0 ? 'open, here and there' : `open ${listed(open)}`;
  return open.length === 0 ? hidden.join(', ') : `${hidden.join(', ')}; open ${listed(open)}`;
}

const OPEN_PLACES: readonly (readonly [keyof SeamPlaces, string])[] = [
  ['frontMm', 'to the front'],
  ['sidesMm', 'at the sides'],
  ['backMm', 'at the back'],
  ['aboveMm', 'on top'],
];

/** "mostly", before what it is; nothing for all of it. */
function partWords(share: number): string {
  return share > 0.9 ? '' : share > 0.6 ? 'mostly ' : share > 0.4 ? 'half ' : share > 0.2 ? 'partly ' : 'a little ';
}

/** Which side of the wearer, where all of the line is on one. Model space has the wearer's left at positive x. */
function sideWords({ lines }: Pick<Seam, 'lines'>): string {
  let [left, right] = [0, 0];
  for (const { points } of lines) {
    for (let i = 0; i + 5 < points.length; i += 3) {
      const mm = Math.hypot(
        points[i + 3]! - points[i]!,
        points[i + 4]! - points[i + 1]!,
        points[i + 5]! - points[i + 2]!,
      );
      if (points[i]! + points[i + 3]! > 0) left += mm;
      else right += mm;
    }
  }
  const most = Math.max(left, right);
  return most <= 0.9 * (left + right) ? 'at the sides' : left > right ? 'on the left' : 'on the right';
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
