// Where along a seam keys on the inside have room on both pieces, and which of those places are taken.
import { heightOf, type Quadratic } from '../../../geometry/quadratic-fit.ts';
import { cross, dot, minus } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { evenly } from './field-slab.ts';
import { awayFromStops, frameAt, type InnerLine, innerLines, inSpace, lineInFrame } from './inner-lines.ts';
import { castField, type EdgeLine, edgeAt, type KeyField, type KeyFrame, type NoField } from './key-field.ts';
import { type KeyGround, wallAt } from './key-ground.ts';
import type { SeamSection } from './seam-section.ts';

/** The room a key needs on the inside of both walls, mm. */
export interface KeyRoom {
  /** Of the key itself, along the seam. */
  readonly widthMm: number;
  /** Half of all it takes along the seam, with what stands beside it. */
  readonly halfMm: number;
  /** On either side of the seam. */
  readonly depthMm: number;
  /** Free over the wall. */
  readonly heightMm: number;
  readonly leastWallMm: number;
}

/** A place for a key. The frame is that of a key carried by the lower piece. */
export interface KeySite {
  readonly frame: KeyFrame;
  readonly edge: EdgeLine;
  readonly below: KeyField;
  readonly above: KeyField;
  readonly room: KeyRoom;
  /** Least wall under it. */
  readonly wallMm: number;
}

export type NoSite = NoField | 'corner or end' | 'thin' | 'rough' | 'another key';

export interface KeySites {
  readonly sites: readonly KeySite[];
  /** Places looked at that had no room, by what stood against it. */
  readonly without: Readonly<Partial<Record<NoSite, number>>>;
}

export interface SiteSearch {
  /** Widest first; a stretch takes the first that fits often enough. */
  readonly rooms: readonly KeyRoom[];
  readonly spacingMm: number;
  /** Keys of other seams. */
  readonly taken: readonly KeySite[];
}

/** Keys keep so far from ends and corners of the seam's line. */
export const FROM_CORNERS_MM = 5;
const STEP_MM = 2;
/** Between two keys. */
const APART_MM = 2;
/** Longer stretches get two keys at least: one alone lets the pieces turn. */
const TWO_FROM_MM = 50;
/** A wall that stands off its smooth surface by more is no ground for a key. */
export const ROUGH_MM = 1;

/** Even along each stretch of the section's inner edge, the outermost as near to its ends as they may come, moved as little as need be to where
 *  both walls have room; alike from both ends. Cost: some 150 rays per 2 mm of edge, and 1,500 a key. Space: worn. */
export function keySites(section: SeamSection, ground: KeyGround, search: SiteSearch): KeySites {
  const sites: KeySite[] = [];
  const without: Partial<Record<NoSite, number>> = {};
  for (const line of innerLines(section)) {
    const looking: Looking = { section, ground, line, taken: [...search.taken, ...sites], without };
    const wanted = Math.max(line.lengthMm > TWO_FROM_MM ? 2 : 1, Math.round(line.lengthMm / search.spacingMm));
    let best: KeySite[] = [];
    for (const room of search.rooms) {
      const found = sitesOn(looking, room, wanted);
      if (found.length > best.length) best = found;
      if (best.length >= Math.min(wanted, TWO_IS_ENOUGH)) break;
    }
    sites.push(...best);
  }
  return { sites, without };
}

const TWO_IS_ENOUGH = 2;

interface Looking {
  readonly section: SeamSection;
  readonly ground: KeyGround;
  readonly line: InnerLine;
  readonly taken: readonly KeySite[];
  readonly without: Partial<Record<NoSite, number>>;
}

function sitesOn(looking: Looking, room: KeyRoom, wanted: number): KeySite[] {
  const { line, without } = looking;
  const free: number[] = [];
  for (const way of waysAlong(line)) {
    const found =
      awayFromStops(line, way) < room.halfMm + FROM_CORNERS_MM ? 'corner or end' : siteAt(looking, room, way, COARSE);
    if (typeof found === 'string') without[found] = (without[found] ?? 0) + 1;
    else free.push(way);
  }
  const picked = new Map<number, KeySite>();
  const pick = (target: number, within: number): void => {
    for (;;) {
      const way = nearest(free, target, line.lengthMm / 2);
      if (way === null || Math.abs(way - target) > within) return;
      const clear = [...picked.keys()].every((other) => apart(line, way, other) >= 2 * room.halfMm + APART_MM);
      const site = clear ? siteAt(looking, room, way, FINE) : 'another key';
      if (typeof site !== 'string') {
        picked.set(way, site);
        return;
      }
      free.splice(free.indexOf(way), 1);
    }
  };
  const share = line.lengthMm / wanted;
  // from both ends towards the middle
  const order = Array.from({ length: wanted }, (_, k) => (k % 2 === 0 ? k / 2 : wanted - 1 - (k - 1) / 2));
  // the nearer to the ends, the less a clearance lets the seam turn; a closed line has none
  const end = line.closed ? share / 2 : Math.min(share / 2, room.halfMm + FROM_CORNERS_MM);
  const step = wanted < 2 ? 0 : line.closed ? share : (line.lengthMm - 2 * end) / (wanted - 1);
  for (const k of order) pick(wanted < 2 ? line.lengthMm / 2 : end + k * step, share);
  if (picked.size < Math.min(wanted, TWO_IS_ENOUGH)) for (const way of [...free]) pick(way, 0);
  return [...picked].sort((a, b) => a[0] - b[0]).map(([, site]) => site);
}

/** Alike from both ends. */
function waysAlong({ lengthMm, closed }: InnerLine): number[] {
  const steps = Math.max(1, Math.round(lengthMm / STEP_MM));
  return Array.from({ length: closed ? steps : steps + 1 }, (_, i) => (i * lengthMm) / steps);
}

/** Of two as near, the one nearer the middle of the line. */
function nearest(ways: readonly number[], target: number, middle: number): number | null {
  let best: number | null = null;
  for (const way of ways) {
    if (best === null) best = way;
    const by = Math.abs(way - target) - Math.abs(best - target);
    if (by < -1e-6 || (by < 1e-6 && Math.abs(way - middle) < Math.abs(best - middle))) best = way;
  }
  return best;
}

function apart({ lengthMm, closed }: InnerLine, a: number, b: number): number {
  const away = Math.abs(a - b);
  return closed ? Math.min(away, lengthMm - away) : away;
}

interface Grain {
  readonly stepMm: number;
  /** Between places where the wall is measured. */
  readonly wallMm: number;
  readonly firstMm: number;
}

const COARSE: Grain = { stepMm: 3, wallMm: 6, firstMm: 0.3 };
const FINE: Grain = { stepMm: 0.5, wallMm: 1, firstMm: 0.05 };

function siteAt(looking: Looking, room: KeyRoom, way: number, grain: Grain): KeySite | NoSite {
  const { section, ground, line, taken } = looking;
  const { n, seam } = section;
  const { at, along, inward } = frameAt(line, n, way, room.widthMm);
  const frame: KeyFrame = { at, along, into: n, inward };
  const seen = lineInFrame(line, way, room.halfMm + 1, frame);
  const edge: EdgeLine = {
    along: seen.filter((_, i) => i % 3 === 0),
    into: seen.filter((_, i) => i % 3 === 1),
    inward: seen.filter((_, i) => i % 3 === 2),
  };
  const grid = {
    alongMm: Float64Array.from(evenly(-room.halfMm, room.halfMm, grain.stepMm)),
    depthMm: Float64Array.from([grain.firstMm, ...evenly(grain.stepMm, room.depthMm, grain.stepMm)]),
    roomMm: room.heightMm,
    seen: ground.seen,
  };
  const below = castField(ground.pieces.get(seam.pieces[0])!, frame, edge, { ...grid, side: -1 });
  if (typeof below === 'string') return below;
  const above = castField(ground.pieces.get(seam.pieces[1])!, frame, edge, { ...grid, side: 1 });
  if (typeof above === 'string') return above;
  if (Math.max(below.overMm, below.underMm, above.overMm, above.underMm) > ROUGH_MM) return 'rough';
  const wallMm = Math.min(
    ...[below, above].map((field) => leastWall(ground, frame, edge, { field, stepMm: grain.wallMm })),
  );
  if (wallMm < room.leastWallMm) return 'thin';
  const site: KeySite = { frame, edge, below, above, room, wallMm };
  return taken.some((other) => overlap(site, other)) ? 'another key' : site;
}

/** At places about `stepMm` apart. What is cut d deep leaves at least so much less d, by the triangle inequality. */
function leastWall(
  ground: KeyGround,
  frame: KeyFrame,
  edge: EdgeLine,
  of: { readonly field: KeyField; readonly stepMm: number },
): number {
  const { stepMm } = of;
  const { alongMm, depthMm, side, heights } = of.field;
  let least = Infinity;
  for (const i of stepped(alongMm, stepMm)) {
    const a = alongMm[i]!;
    const s0 = edgeAt(edge, edge.into, a);
    for (const j of stepped(depthMm, stepMm)) {
      const place = inSpace(frame, a, s0 + side * depthMm[j]!, heights[i * depthMm.length + j]!);
      least = Math.min(least, wallAt(ground, place));
    }
  }
  return least;
}

/** Places of values at least `stepMm` apart, with the first and the last. */
function stepped(values: Float64Array, stepMm: number): number[] {
  const out = [0];
  for (let i = 1; i < values.length; i++)
    if (i === values.length - 1 || values[i]! - values[out.at(-1)!]! >= stepMm - 1e-9) out.push(i);
  return out;
}

/** Whether the room of two keys has a place in common, with a mm between. */
function overlap(one: KeySite, other: KeySite): boolean {
  const far = (site: KeySite) => Math.hypot(site.room.halfMm, site.room.depthMm) * 2 + site.room.heightMm;
  const between = minus(one.frame.at, other.frame.at);
  if (Math.hypot(...between) > far(one) + far(other)) return false;
  return reachesInto(one, other) || reachesInto(other, one);
}

function reachesInto(one: KeySite, other: KeySite): boolean {
  const { halfMm, depthMm, heightMm } = one.room;
  for (const a of evenly(-halfMm, halfMm, 2)) {
    const s0 = edgeAt(one.edge, one.edge.into, a);
    for (const d of evenly(-depthMm, depthMm, 2)) {
      const h = heightOf((d < 0 ? one.below : one.above).smooth, a, d);
      for (const over of [0, heightMm / 2, heightMm])
        if (isIn(other, inSpace(one.frame, a, s0 + d, h + over))) return true;
    }
  }
  return false;
}

function isIn({ frame, edge, below, above, room }: KeySite, place: Vec3): boolean {
  const p = minus(place, frame.at);
  const a = dot(p, frame.along);
  const d = dot(p, frame.into) - edgeAt(edge, edge.into, a);
  if (Math.abs(a) > room.halfMm + 1 || Math.abs(d) > room.depthMm + 1) return false;
  const over = dot(p, frame.inward) - heightOf((d < 0 ? below : above).smooth, a, d);
  return over > -1 - room.leastWallMm && over < room.heightMm + 1;
}

/** A site as the key of one of its pieces sees it. */
export interface SideOfSite {
  readonly frame: KeyFrame;
  readonly edge: EdgeLine;
  /** Side -1. */
  readonly carrier: KeyField;
  /** Side 1. */
  readonly receiver: KeyField;
}

/** carrier: 0 for the lower piece of the seam, 1 for the upper. */
export function seenFrom(site: KeySite, carrier: 0 | 1): SideOfSite {
  const { frame, edge, below, above } = site;
  if (carrier === 0) return { frame, edge, carrier: below, receiver: above };
  const back = (v: Vec3): Vec3 => [-v[0], -v[1], -v[2]];
  const into = back(frame.into);
  return {
    frame: { at: frame.at, into, inward: frame.inward, along: cross(into, frame.inward) },
    edge: {
      along: edge.along.map((a) => -a).reverse(),
      into: edge.into.map((s) => -s).reverse(),
      inward: edge.inward.slice().reverse(),
    },
    carrier: turnedField(above),
    receiver: turnedField(below),
  };
}

function turnedField(field: KeyField): KeyField {
  const { alongMm, depthMm, side, heights, smooth } = field;
  const turned = new Float64Array(heights.length);
  for (let i = 0; i < alongMm.length; i++)
    for (let j = 0; j < depthMm.length; j++)
      turned[i * depthMm.length + j] = heights[(alongMm.length - 1 - i) * depthMm.length + j]!;
  const q: Quadratic = [smooth[0], -smooth[1], -smooth[2], smooth[3], smooth[4], smooth[5]];
  return {
    ...field,
    alongMm: alongMm.map((a) => -a).reverse(),
    side: side === 1 ? -1 : 1,
    heights: turned,
    smooth: q,
  };
}
