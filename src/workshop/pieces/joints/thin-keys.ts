// The keys of a seam through a thin wall: tabs, laps or strips at all its places, alternating or all on one piece.
import type { KeyForm } from './key-form.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeyRoom, KeySite, NoSite } from './key-site.ts';
import { type KeySites, takesMm } from './key-sites.ts';
import type { KeySolids } from './key-solids.ts';
import { lapRoom, lapSolids } from './lap-solids.ts';
import { stripRoom, stripSolids } from './strip-solids.ts';
import { tabRoom } from './tab-drawing.ts';
import { tabSolids } from './tab-solids.ts';

export type ThinKind = 'tabs' | 'laps' | 'strips';

export interface ThinKeys {
  readonly kind: ThinKind;
  readonly heldBy: 'stops' | 'pocket';
  /** Which piece carries: the lower, the upper, or both in turn. */
  readonly carriers: 0 | 1 | 'in turn';
  /** Where that one can have no key the other may, if both print with this face free; in turn they always do. */
  readonly orOther?: boolean;
  readonly pieces: readonly [string, string];
  readonly ground: KeyGround;
  /** Keys drawn before on the same places. */
  readonly drawn?: DrawnKeys;
}

/** By how they are drawn, see drawnAs: key or none of each place. */
export type DrawnKeys = Map<string, WeakMap<KeySite, KeySolids | null>>;

/** Shares of the width asked for that a stretch without room for it may get, and the most that one with room for one key only may get. */
const WIDTHS = [1, 0.75, 0.5];
const MOST_ALONE = 2;
/** From one width to the next of a key alone: it holds a turn by what it is wide. */
const ALONE_STEP_MM = 2;
/** Narrower ones are mostly taper. */
const LEAST_WIDTH_MM = 6;

const ROOMS = { tabs: tabRoom, laps: lapRoom, strips: stripRoom } as const;

/** The rooms to look for, widest first. */
export function thinRooms(kind: ThinKind, widthMm: number, form: KeyForm): readonly KeyRoom[] {
  const narrower = [...WIDTHS.slice(1).map((share) => widthMm * share), LEAST_WIDTH_MM];
  const widths = [...new Set([widthMm, ...narrower.filter((width) => width >= LEAST_WIDTH_MM && width < widthMm)])];
  return widths.map((width) => ROOMS[kind](width, form));
}

/** Such as hold a turn alone, widest first, from twice the width asked for or as wide as the stretch has room for. */
export function roomsAlone(kind: ThinKind, widthMm: number, form: KeyForm): (stretchMm: number) => readonly KeyRoom[] {
  return (stretchMm) => {
    const room = Math.floor(10 * (stretchMm - takesMm(ROOMS[kind](0, form)))) / 10;
    const most = Math.min(MOST_ALONE * widthMm, room);
    const num = Math.max(0, Math.ceil((most - LEAST_WIDTH_MM) / ALONE_STEP_MM));
    return Array.from({ length: num }, (_, k) => ROOMS[kind](Math.round(10 * (most - k * ALONE_STEP_MM)) / 10, form));
  };
}

/** One key a site, in their order; a site where the carrier can have none gets one of the other piece, unless one is to carry all. Sites that get none are left out. */
export function thinKeys(sites: readonly KeySite[], form: KeyForm, about: ThinKeys): readonly KeySolids[] {
  const keys: KeySolids[] = [];
  sites.forEach((site, i) => {
    const own = about.carriers === 'in turn' ? ((i % 2) as 0 | 1) : about.carriers;
    const key = keyAt(site, form, about, own) ?? (mayOther(about) ? keyAt(site, form, about, other(own)) : null);
    if (key !== null) keys.push(key);
  });
  return keys;
}

/** Whether a place gets a key at all. */
export function bearsKey(site: KeySite, form: KeyForm, about: ThinKeys): boolean {
  const own = about.carriers === 'in turn' ? 0 : about.carriers;
  return keyAt(site, form, about, own) !== null || (mayOther(about) && keyAt(site, form, about, other(own)) !== null);
}

function mayOther({ carriers, orOther }: ThinKeys): boolean {
  return carriers === 'in turn' || orOther === true;
}

function other(carrier: 0 | 1): 0 | 1 {
  return carrier === 0 ? 1 : 0;
}

function keyAt(site: KeySite, form: KeyForm, about: ThinKeys, carrier: 0 | 1): KeySolids | null {
  const { drawn = new Map() as DrawnKeys } = about;
  const as = drawnAs(form, about, carrier);
  const known = drawn.get(as) ?? new WeakMap<KeySite, KeySolids | null>();
  drawn.set(as, known);
  let key = known.get(site);
  if (key === undefined) {
    key = drawKey(site, form, about, carrier);
    known.set(site, key);
  }
  return key;
}

function drawnAs({ clearanceMm, besideMm, reachMm }: KeyForm, { kind, heldBy }: ThinKeys, carrier: 0 | 1): string {
  return [kind, heldBy, clearanceMm, besideMm, reachMm, carrier].join(' ');
}

function drawKey(site: KeySite, form: KeyForm, about: ThinKeys, carrier: 0 | 1): KeySolids | null {
  const { kind, pieces, heldBy, ground } = about;
  if (kind === 'tabs') return tabSolids(site, form, { carrier, pieces, heldBy, ground });
  return (kind === 'laps' ? lapSolids : stripSolids)(site, form, { carrier, pieces });
}

const WORDS: Readonly<Record<NoSite, string>> = {
  'corner or end': 'within 5 mm of a corner or an end of the seam',
  opening: 'beside an opening',
  'in the way': 'under something that stands on the inside',
  steep: 'where the wall leans too far from the way the pieces close',
  'another piece': 'where a third piece begins',
  outside: 'where the inside turns outside',
  thin: 'where the wall is too thin',
  rough: 'where the inside is uneven',
  'another key': 'taken by another key',
};

/** What stands against keys along a seam, in a sentence; most frequent first. */
export function sayWithout({ without, longestMm, leastMm }: Omit<KeySites, 'sites'>): string {
  if (longestMm === 0) return 'The seam has no inner edge.';
  if (longestMm < leastMm)
    return `The longest stretch of its inner edge without a corner is ${longestMm.toFixed(1)} mm, and the narrowest key takes ${leastMm.toFixed(1)} mm: what joins these pieces beside it has to hold this seam too, or a cut elsewhere that leaves it longer.`;
  const told = Object.entries(without)
    .sort((a, b) => b[1] - a[1])
    .map(([why, count]) => `${count} ${WORDS[why as NoSite]}`);
  const all = Object.values(without).reduce((sum, count) => sum + count, 0);
  return `None of ${all} places along the inner edge has room: ${told.join(', ')}. A narrower key or a shorter reach may fit.`;
}
