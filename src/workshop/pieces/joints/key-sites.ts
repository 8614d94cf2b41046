// Which places along a seam get a key on the inside: the outermost as far apart as they come, the widest that fits at each, the rest even between.
import { type InnerLine, innerLines, isClearOfStops } from './inner-lines.ts';
import type { KeyGround } from './key-ground.ts';
import { COARSE, FINE, type KeyRoom, type KeySite, type Looking, type NoSite, overlap, siteAt } from './key-site.ts';
import type { SeamSection } from './seam-section.ts';

export interface KeySites {
  readonly sites: readonly KeySite[];
  /** Places looked at that had no room even for the narrowest, by what stood against it. */
  readonly without: Readonly<Partial<Record<NoSite, number>>>;
  /** The longest way between two neighbouring stops of the line, mm, and what the narrowest key takes of it. */
  readonly longestMm: number;
  readonly leastMm: number;
}

export interface SiteSearch {
  /** Widest first; each place takes the first that fits there. */
  readonly rooms: readonly KeyRoom[];
  /** Wider still, widest first, for a stretch of some length with room for one key only, which holds a turn by its own width. */
  readonly alone?: (stretchMm: number) => readonly KeyRoom[];
}

/** Where a seam has room for keys, but for those of other seams: found once, taken at any spacing. */
export interface SitePlaces {
  readonly lines: readonly Places[];
  readonly without: KeySites['without'];
  readonly leastMm: number;
}

/** Keys keep so far from ends and corners of the seam's line. */
const FROM_CORNERS_MM = 5;
/** What stands beside a key may come nearer, except to where the wall ends: nothing is seen there, and nothing breaks off. */
const BESIDE_FROM_CORNERS_MM = 1.5;
const STEP_MM = 2;
/** Between two keys. */
const APART_MM = 2;
/** Longer stretches get two keys at least: one alone lets the pieces turn. */
const TWO_FROM_MM = 50;
/** A narrower key is taken at an end only where it reaches so much farther out. */
const WORTH_MM = 4;

/** Where on the section's inner edge both walls have room. Cost: some 150 rays per 2 mm of edge where the widest key fits, as often again for each
 *  narrower one where it does not. Space: worn. */
export function sitePlaces(section: SeamSection, ground: KeyGround, search: SiteSearch): SitePlaces {
  const without: Partial<Record<NoSite, number>> = {};
  const lines = innerLines(section).map((line): Places => {
    const looking = { section, ground, line };
    const alone = search.alone?.(longestOf(line)).filter((room) => takesMm(room) <= longestOf(line)) ?? [];
    return { ...roomsOn(looking, search.rooms, without), alone: roomsOn(looking, alone, {}) };
  });
  return { lines, without, leastMm: takesMm(search.rooms.at(-1)!) };
}

/** Along each stretch of inner edge the outermost as near to its ends as they may come, for the farther apart they hold the less a clearance lets
 *  the seam turn; the others even between them, moved as little as need be to where both walls have room; alike from both ends. A short
 *  stretch gets one long key, or two narrow ones if those reach farther. bears: whether a key can be drawn there after all.
 *  Cost: some 1,500 rays a key. Space: worn. */
export function keySites(
  { lines, without, leastMm }: SitePlaces,
  spacingMm: number,
  taken: readonly KeySite[],
  bears: (site: KeySite) => boolean = () => true,
): KeySites {
  const sites: KeySite[] = [];
  const also = { ...without };
  for (const line of lines) {
    const others = [...taken, ...sites];
    const places: Places = {
      ...clearOf(line, { taken: others, bears }, also),
      alone: clearOf(line.alone, { taken: others, bears }, {}),
    };
    sites.push(...(places.line.closed ? evenSites(places, spacingMm) : outermostSites(places, spacingMm)));
  }
  return { sites, without: also, leastMm, longestMm: Math.max(0, ...lines.map(({ line }) => longestOf(line))) };
}

/** The same, found wanting where another key is, or none can be drawn. */
function clearOf(
  places: RoomsOn,
  { taken, bears }: { readonly taken: readonly KeySite[]; readonly bears: (site: KeySite) => boolean },
  without: Partial<Record<NoSite, number>>,
): RoomsOn {
  const fits = places.fits.map((of) => of.slice());
  const siteOf = (room: number, place: number): KeySite | null => {
    const site = places.siteOf(room, place);
    const isTaken = site !== null && taken.some((other) => overlap(site, other));
    if (isTaken && room === fits.length - 1) without['another key'] = (without['another key'] ?? 0) + 1;
    if (site !== null && !isTaken && bears(site)) return site;
    fits[room]![place] = 0;
    return null;
  };
  return { ...places, fits, siteOf };
}

/** What a key takes of a line between corners. */
export function takesMm(room: KeyRoom): number {
  return 2 * fromCornerMm(room);
}

function fromCornerMm({ widthMm, halfMm }: KeyRoom): number {
  return Math.max(widthMm / 2 + FROM_CORNERS_MM, halfMm + BESIDE_FROM_CORNERS_MM);
}

/** The longest way between two neighbouring stops. */
function longestOf({ stops, closed, lengthMm }: InnerLine): number {
  if (stops.length === 0) return lengthMm;
  let most = closed ? stops[0]!.wayMm + lengthMm - stops.at(-1)!.wayMm : 0;
  for (let i = 0; i + 1 < stops.length; i++) most = Math.max(most, stops[i + 1]!.wayMm - stops[i]!.wayMm);
  return most;
}

/** A key at a way along the line. */
interface Placed {
  readonly way: number;
  readonly site: KeySite;
}

/** Where each room fits on a line, as far as is known. */
interface RoomsOn {
  readonly line: InnerLine;
  readonly ways: readonly number[];
  readonly rooms: readonly KeyRoom[];
  /** By room: per way 1 where it fits as seen coarsely, and was not found wanting since. */
  readonly fits: readonly Uint8Array[];
  /** The site on which a key is drawn; null, and known from then on, where there is none after all. */
  readonly siteOf: (room: number, place: number) => KeySite | null;
}

/** Where a wide room fits the narrower do as well. */
interface Places extends RoomsOn {
  /** For a key that is the only one. */
  readonly alone: RoomsOn;
}

function roomsOn(looking: Looking, rooms: readonly KeyRoom[], without: Partial<Record<NoSite, number>>): RoomsOn {
  const { line } = looking;
  const ways = waysAlong(line);
  const fits = rooms.map(() => new Uint8Array(ways.length));
  ways.forEach((way, i) => {
    let why: NoSite | null = 'corner or end';
    for (const [r, room] of rooms.entries()) {
      if (why !== null) why = coarselyAt(looking, room, way);
      fits[r]![i] = why === null ? 1 : 0;
    }
    if (why !== null) without[why] = (without[why] ?? 0) + 1;
  });
  const known = new Map<number, KeySite | null>();
  const siteOf = (room: number, place: number): KeySite | null => {
    const id = place * rooms.length + room;
    const before = known.get(id);
    if (before !== undefined) return before;
    const found = siteAt(looking, rooms[room]!, ways[place]!, FINE);
    const site = typeof found === 'string' ? null : found;
    if (site === null) fits[room]![place] = 0;
    known.set(id, site);
    return site;
  };
  return { line, ways, rooms, fits, siteOf };
}

/** Null where it fits. */
function coarselyAt(looking: Looking, room: KeyRoom, way: number): NoSite | null {
  const fromCorner = fromCornerMm(room);
  const away = { corner: fromCorner, seam: fromCorner, rim: room.halfMm + FROM_CORNERS_MM };
  if (!isClearOfStops(looking.line, way, away)) return 'corner or end';
  const found = siteAt(looking, room, way, COARSE);
  return typeof found === 'string' ? found : null;
}

/** Alike from both ends. */
function waysAlong({ lengthMm, closed }: InnerLine): number[] {
  const steps = Math.max(1, Math.round(lengthMm / STEP_MM));
  return Array.from({ length: closed ? steps : steps + 1 }, (_, i) => (i * lengthMm) / steps);
}

function outermostSites(places: Places, spacingMm: number): KeySite[] {
  const { lengthMm } = places.line;
  const ends = twoEnds(places);
  const one = ends !== null && lengthMm > TWO_FROM_MM ? null : oneAlone(places);
  if (ends === null) return one === null ? [] : [one.site];
  const apartMm = reachOf(ends[1], 1) - reachOf(ends[0], -1);
  if (one !== null && one.site.room.widthMm >= apartMm - WORTH_MM) return [one.site];
  const wanted = Math.max(2, Math.round(lengthMm / spacingMm));
  const step = (ends[1].way - ends[0].way) / (wanted - 1);
  const targets = Array.from({ length: wanted - 2 }, (_, k) => ends[0].way + (k + 1) * step);
  return filled(places, [...ends], { targets: towardsMiddle(targets), within: step });
}

/** Two of a width, or a narrower one where it reaches farther: as far apart as they fit. Null where no two do. */
function twoEnds(places: Places): readonly [Placed, Placed] | null {
  for (let widest = 0; widest < places.rooms.length; widest++) {
    const first = endmost(places, widest, -1);
    const last = first && endmost(places, widest, 1);
    if (first && last && isApart(places.line, first.way, first.site.room, last)) return [first, last];
  }
  return null;
}

/** How far the key itself reaches along the line, before its place or after it. */
function reachOf({ way, site }: Placed, hand: 1 | -1): number {
  return way + (hand * site.room.widthMm) / 2;
}

/** The widest key that reaches as far to that end as any narrower one, but for WORTH_MM. */
function endmost(places: Places, widest: number, hand: 1 | -1): Placed | null {
  const { ways, rooms, fits, siteOf } = places;
  for (;;) {
    const found = rooms.flatMap((room, r) => {
      const place = r < widest ? -1 : hand < 0 ? fits[r]!.indexOf(1) : fits[r]!.lastIndexOf(1);
      return place < 0 ? [] : [{ r, place, reach: hand * ways[place]! + room.widthMm / 2 }];
    });
    if (found.length === 0) return null;
    const most = Math.max(...found.map(({ reach }) => reach));
    const best = found.find(({ reach }) => reach >= most - WORTH_MM)!;
    const site = siteOf(best.r, best.place);
    if (site !== null) return { way: ways[best.place]!, site };
  }
}

/** The widest that fits anywhere, as near the middle as it does. */
function oneAlone(places: Places): Placed | null {
  const { lengthMm } = places.line;
  for (const of of [places.alone, places])
    for (let r = 0; r < of.rooms.length; r++) {
      const placed = nearestSite(of, [r], { target: lengthMm / 2, within: lengthMm, picked: [] });
      if (placed !== null) return placed;
    }
  return null;
}

/** Even round a ring. */
function evenSites(places: Places, spacingMm: number): KeySite[] {
  const { lengthMm } = places.line;
  const wanted = Math.max(lengthMm > TWO_FROM_MM ? 2 : 1, Math.round(lengthMm / spacingMm));
  const share = lengthMm / wanted;
  const targets = Array.from({ length: wanted }, (_, k) => (k + 0.5) * share);
  return filled(places, [], { targets: towardsMiddle(targets), within: share });
}

/** From both ends towards the middle. */
function towardsMiddle(targets: readonly number[]): number[] {
  return targets.map((_, k) => targets[k % 2 === 0 ? k / 2 : targets.length - 1 - (k - 1) / 2]!);
}

/** A key for each target: within half a step of it the widest that fits, else within a step any; in order of ways. Where that gives less than two,
 *  any place will do. */
function filled(
  places: Places,
  picked: Placed[],
  { targets, within }: { readonly targets: readonly number[]; readonly within: number },
): KeySite[] {
  const all = places.rooms.map((_, r) => r);
  const pick = (rooms: readonly number[], target: number, farMm: number): boolean => {
    const placed = nearestSite(places, rooms, { target, within: farMm, picked });
    if (placed !== null) picked.push(placed);
    return placed !== null;
  };
  for (const target of targets) if (!all.some((r) => pick([r], target, within / 2))) pick(all, target, within);
  if (picked.length < 2) for (const way of places.ways) pick(all, way, 0);
  return picked.sort((a, b) => a.way - b.way).map(({ site }) => site);
}

/** The nearest place to a target, by any of some rooms; of two as near, the one nearer the middle of the line. */
function nearestSite(
  places: RoomsOn,
  among: readonly number[],
  by: { readonly target: number; readonly within: number; readonly picked: readonly Placed[] },
): Placed | null {
  const { ways, fits, siteOf, line } = places;
  const middle = line.lengthMm / 2;
  const order = ways
    .map((way, place) => ({ way, place, off: Math.abs(way - by.target) }))
    .filter(({ off }) => off <= by.within + 1e-6)
    .sort((a, b) =>
      Math.abs(a.off - b.off) > 1e-6 ? a.off - b.off : Math.abs(a.way - middle) - Math.abs(b.way - middle),
    );
  for (const { way, place } of order)
    for (const r of among) {
      if (fits[r]![place] === 0) continue;
      if (!by.picked.every((other) => isApart(line, way, places.rooms[r]!, other))) continue;
      const site = siteOf(r, place);
      if (site !== null) return { way, site };
    }
  return null;
}

function isApart({ lengthMm, closed }: InnerLine, way: number, { halfMm }: KeyRoom, other: Placed): boolean {
  const away = Math.abs(way - other.way);
  return (closed ? Math.min(away, lengthMm - away) : away) >= halfMm + other.site.room.halfMm + APART_MM;
}
