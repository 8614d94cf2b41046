// Keys for all seams together: who carries them in which pose, what others leave room for, and what pieces turn out not to bear.
import { done, type Outcome } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import { minus } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import { type JointKind, type Key, TRUE_MM } from '../../process/joints-record.ts';
import type { Piece, PiecesRecord, Seam } from '../../process/pieces-record.ts';
import { type BuiltJoint, buildJoint, type KnownPlaces, nothingKnown } from './build-joint.ts';
import { playTogether } from './closing-seams.ts';
import type { JointsSettings } from './joints-settings.ts';
import type { KeyGround } from './key-ground.ts';
import { type KeySide, keySides } from './key-sides.ts';
import type { KeySite } from './key-site.ts';
import { fitsCarrying, type KeyedRecord, keyedRecord } from './keyed-record.ts';
import type { PlainPiece } from './read-sections.ts';
import type { SeamSection } from './seam-section.ts';
import { skinOutside } from './skin-outside.ts';

export interface KeyedPlan {
  /** One a seam. */
  readonly built: readonly BuiltJoint[];
  readonly record: KeyedRecord;
  /** Per seam: least wall left outside of what was cut for its keys, mm; null where nothing was cut. */
  readonly skins: readonly (number | null)[];
}

export interface ToBePlanned extends Pick<PiecesRecord, 'pieces' | 'seams' | 'seen'> {
  readonly parts: readonly PlainPiece[];
  readonly sections: readonly SeamSection[];
  readonly ground: KeyGround;
  /** Per seam: all that close with it. */
  readonly closing: readonly (readonly number[])[];
  /** Per seam; null where its wall decides. */
  readonly asked: readonly (JointKind | null)[];
}

/** Keys as they are drawn, and as far as the pieces bear them: one that fits no bed with its keys gives up first what protrudes, on as few
 *  seams as is enough, then keys; a key that hangs on nothing gives up its place, a seam whose keys leave too little skin has none. Cost: buildJoint a
 *  seam and keyedPiece a piece, again for each round that takes something back. Refuses what keyedPiece does. Space: worn. */
export function keyedPlan(of: ToBePlanned, settings: JointsSettings, work: ChapterWork): Outcome<KeyedPlan> {
  const limits: Limits = { thorough: new Set(), banned: new Set(), barred: new Map(), muted: new Map() };
  const known = of.sections.map(nothingKnown);
  // each round takes something back, so it ends
  for (;;) {
    const built = builtJoints(of, settings, { limits, known, work: partOfWork(work, 0, 0.3) });
    const record = keyedRecord({ ...of, built }, settings, partOfWork(work, 0.3, 0.95));
    if (!record.ok) {
      if (!isTakenBack(limits, built, record.where)) return record;
      continue;
    }
    const skins = built.map((joint) => skinOf(joint, record.value, of.ground));
    const isThin = thinned(limits, skins, settings.skinMm);
    const narrowing = { settings, work: partOfWork(work, 0.95, 1) };
    if (narrowed(limits, { built, record: record.value }, of, narrowing) || isThin) continue;
    return done({ built, record: record.value, skins }, record.findings);
  }
}

/** What seams turned out to need, and pieces not to bear. */
interface Limits {
  /** Seams whose places are taken by whether a key can be drawn there. */
  readonly thorough: Set<number>;
  /** "seam piece": the piece may carry nothing that protrudes from this seam. */
  readonly banned: Set<string>;
  /** By seam: places that bear no key. */
  readonly barred: Map<number, readonly KeySite[]>;
  /** Seams that stay without keys, with the reason. */
  readonly muted: Map<number, string>;
}

interface Rounds {
  readonly limits: Limits;
  readonly known: readonly KnownPlaces[];
  readonly work: ChapterWork;
}

/** Sides by the poses alone; what turned out loose is first looked at more thoroughly, then made dearer that way; the truest of some rounds. */
function builtJoints(of: ToBePlanned, settings: JointsSettings, by: Rounds): readonly BuiltJoint[] {
  const { pieces, seams } = of;
  const loose = new Set<string>();
  const { thorough } = by.limits;
  const isBanned = (seam: number, id: string) => by.limits.banned.has(`${seam} ${id}`);
  const dearer = (seam: number, side: KeySide) => (loose.has(`${seam} ${side}`) ? LOOSE_COST : 0);
  let best: { readonly built: readonly BuiltJoint[]; readonly looseMm: number } | null = null;
  let before = '';
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { sides } = keySides(pieces, seams, isBanned, dearer);
    const now = [sides.join(), ...thorough].join();
    if (now === before) break;
    before = now;
    const built = carriedJoints(of, settings, { ...by, sides });
    const misfits = playTogether(built, of.closing, { toleranceMm: 0 }).map((play) => play?.nominalMm ?? 0);
    const poor = misfits.flatMap((misfitMm, s) => (misfitMm > TRUE_MM && built[s]!.keys.length > 0 ? [s] : []));
    const looseMm = poor.reduce((sum, s) => sum + Math.min(misfits[s]!, MOST_LOOSE_MM), 0);
    if (best === null || looseMm < best.looseMm) best = { built, looseMm };
    for (const s of poor)
      if (thorough.has(s)) for (const side of looserSides(sides[s]!)) loose.add(`${s} ${side}`);
      else thorough.add(s);
    if (poor.length === 0) break;
  }
  return best!.built;
}

const MOST_ROUNDS = 4;
/** Beyond that, one seam is as bad as another. */
const MOST_LOOSE_MM = 2;
/** As many places further down a list of poses may make a seam true. */
const LOOSE_COST = 5;

/** Where both carriers are loose each of them is; but neither is worse than either. */
function looserSides(side: KeySide): readonly KeySide[] {
  if (side === 'both') return ['both', 'first', 'second', 'neither'];
  return [side, 'neither'];
}

/** The shortest seams first: what is left of room near their ends is all they have. */
function carriedJoints(
  of: ToBePlanned,
  settings: JointsSettings,
  by: Rounds & { readonly sides: readonly KeySide[] },
): readonly BuiltJoint[] {
  const { sections, ground, pieces } = of;
  const taken = { sites: [], bodies: [] };
  const order = sections.map((_, s) => s).sort((a, b) => sections[a]!.seam.innerMm - sections[b]!.seam.innerMm);
  const built = new Map<number, BuiltJoint>();
  order.forEach((s, i) => {
    const section = sections[s]!;
    by.work.tick(i / order.length, `keys for ${section.seam.id}`);
    const why = by.limits.muted.get(s);
    const wish = {
      side: by.sides[s]!,
      clearanceMm: clearanceOf(section.seam, pieces, settings),
      asked: of.asked[s]!,
      barred: by.limits.barred.get(s) ?? [],
      isThorough: by.limits.thorough.has(s),
    };
    built.set(
      s,
      why === undefined
        ? buildJoint(section, ground, wish, { settings, taken, known: by.known[s]! })
        : { section, kind: 'none', wallMm: 0, keys: [], sites: [], misfitMm: null, why },
    );
  });
  return sections.map((_, s) => built.get(s)!);
}

function clearanceOf({ pieces: pair }: Seam, pieces: readonly Piece[], { machines }: JointsSettings): number {
  const ids = pieces.flatMap(({ id, poses }) => (pair.includes(id) ? poses.map(({ machine }) => machine) : []));
  return Math.max(...machines.filter(({ id }) => ids.includes(id)).map(({ clearanceMm }) => clearanceMm));
}

/** Pieces that fit no bed with their keys first give up what protrudes, on as few seams as is enough, then keys. Whether there was any such. */
function narrowed(
  { banned, muted }: Limits,
  { built, record }: Pick<KeyedPlan, 'built' | 'record'>,
  of: ToBePlanned,
  by: { readonly settings: JointsSettings; readonly work: ChapterWork },
): boolean {
  let isNew = false;
  for (const [index, { id, poses }] of record.pieces.entries()) {
    if (poses.length > 0) continue;
    const own = built.flatMap(({ section, keys }, s) =>
      section.seam.pieces.includes(id) && keys.length > 0 ? [{ s, keys }] : [],
    );
    const carried = own
      .filter(({ s, keys }) => !banned.has(`${s} ${id}`) && keys.some(({ key }) => key.carrier === id))
      .sort((one, other) => other.keys.length - one.keys.length);
    isNew ||= own.length > 0;
    const kept: number[] = [];
    for (const { s } of carried.length > 1 ? carried : [])
      if (fitsCarrying(of.pieces[index]!, [...kept, s], { ...of, built }, by)) kept.push(s);
    // as drawn they do not fit all together, so one at least is given up
    for (const { s } of carried.slice(kept.length === carried.length ? -1 : 0))
      if (kept.length === carried.length || !kept.includes(s)) banned.add(`${s} ${id}`);
    if (carried.length > 0) continue;
    for (const { s } of own) muted.set(s, `With keys ${id} would fit no bed.`);
  }
  return isNew;
}

/** The key nearest to what came off, or hung on nothing: its place is barred, or where it has none, or that has not helped, its seam stays without keys.
 *  False when there is none to take back. */
function isTakenBack(
  { barred, muted }: Limits,
  built: readonly BuiltJoint[],
  where: { readonly piece?: string; readonly atMm?: Vec3 } | undefined,
): boolean {
  const { piece, atMm } = where ?? {};
  if (piece === undefined || atMm === undefined) return false;
  let nearest: { readonly s: number; readonly key: Key; readonly mm: number } | null = null;
  for (const [s, { keys }] of built.entries())
    for (const { key } of keys) {
      if (key.carrier !== piece && key.receiver !== piece) continue;
      const mm = Math.hypot(...minus(key.atMm, atMm));
      if (nearest === null || mm < nearest.mm) nearest = { s, key, mm };
    }
  if (nearest === null) return false;
  const { s, key } = nearest;
  const known = barred.get(s) ?? [];
  const site = built[s]!.sites.find(({ frame }) => Math.hypot(...minus(frame.at, key.atMm)) < key.widthMm / 2);
  if (site === undefined || known.length === MOST_BARRED) muted.set(s, `With keys here ${piece} would come in two.`);
  else barred.set(s, [...known, site]);
  return true;
}

/** On one seam. */
const MOST_BARRED = 3;

/** Seams that are left less skin than asked for get no keys. Whether there was any such. */
function thinned({ muted }: Limits, skins: KeyedPlan['skins'], skinMm: number): boolean {
  let isNew = false;
  skins.forEach((left, s) => {
    if (left === null || left >= skinMm - EXACT_MM) return;
    isNew = true;
    muted.set(
      s,
      `Its keys would leave ${left.toFixed(2)} mm of wall outside them; ${skinMm.toFixed(1)} mm is to stay.`,
    );
  });
  return isNew;
}

/** What cutting and rounding may take. */
const EXACT_MM = 1e-3;

function skinOf({ section, keys }: BuiltJoint, record: KeyedRecord, { outside }: KeyGround): number | null {
  const cutting = keys.filter(({ carrier, receiver }) => carrier.cut.length + receiver.cut.length > 0);
  if (cutting.length === 0) return null;
  const near = nearKeys(cutting);
  const skins = section.seam.pieces.flatMap((piece) => {
    const skin = skinOutside(record.keyed.get(piece)!, outside, { near });
    return skin === null ? [] : [skin.skinMm];
  });
  return skins.length === 0 ? null : Math.min(...skins);
}

/** Whether a place belongs to one of the keys. */
function nearKeys(keys: BuiltJoint['keys']): (point: Vec3) => boolean {
  const balls = keys.map(({ key: { atMm, widthMm, reachMm, thickMm } }) => ({
    atMm,
    mm: Math.hypot(widthMm / 2, reachMm, thickMm) + 4,
  }));
  return (p) => balls.some(({ atMm, mm }) => Math.hypot(...minus(p, atMm)) < mm);
}
