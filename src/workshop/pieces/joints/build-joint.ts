// The keys of one seam: the kind by its wall or as asked for, carried by whoever may, as many as have room.
import type { JointKind } from '../../process/joints-record.ts';
import { jointKindFor, type KindChoice, sectionMeasures } from './joint-kind.ts';
import { jointPlay } from './joint-play.ts';
import type { JointsSettings } from './joints-settings.ts';
import type { KeyForm } from './key-form.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeySide } from './key-sides.ts';
import type { KeySite } from './key-site.ts';
import { type KeySites, keySites, type SitePlaces, sitePlaces } from './key-sites.ts';
import type { KeySolids } from './key-solids.ts';
import { pinKeys, rodKeys } from './pin-solids.ts';
import { removableKeys } from './removable-keys.ts';
import type { RoundBody } from './round-room.ts';
import type { SeamSection } from './seam-section.ts';
import { roomsAlone, sayWithout, type ThinKind, thinKeys, thinRooms } from './thin-keys.ts';

/** A seam with the solids of its keys. */
export interface BuiltJoint {
  readonly section: SeamSection;
  readonly kind: JointKind;
  readonly wallMm: number;
  readonly keys: readonly KeySolids[];
  /** As drawn, at the outer edge; Infinity when it is not held, null without keys. */
  readonly misfitMm: number | null;
  readonly why: string | null;
}

export interface JointWish {
  readonly side: KeySide;
  readonly clearanceMm: number;
  /** Null: by the wall. */
  readonly asked: JointKind | null;
}

/** Room that keys of other seams have taken already; grows with every seam. */
export interface TakenRoom {
  readonly sites: KeySite[];
  readonly bodies: RoundBody[];
}

/** Keys for one seam; none, with the reason, where nothing fits. `known`: places found for this seam before, for another carrier or beside other
 *  keys. Cost: see sitePlaces, keySites and roundKeys. Space: worn. */
export function buildJoint(
  section: SeamSection,
  ground: KeyGround,
  wish: JointWish,
  by: { readonly settings: JointsSettings; readonly taken: TakenRoom; readonly known: KnownPlaces },
): BuiltJoint {
  const measures = sectionMeasures(section, ground);
  const limits = { ...by.settings, clearanceMm: wish.clearanceMm };
  const choice = jointKindFor(measures, limits, wish.asked ?? undefined);
  const wallMm = measures.wallMm ?? measures.circleMm;
  const none = (why: string | null): BuiltJoint => ({ section, kind: 'none', wallMm, keys: [], misfitMm: null, why });
  if (wish.asked === 'none') return none('It was asked to have none.');
  const tried: string[] = [];
  const seen: Seen[] = [];
  let best: (Made & { readonly kind: MadeKind; readonly misfitMm: number }) | null = null;
  for (const { kind, ...how } of waysToTry(choice, wish.side)) {
    const making = { ...wish, ...by, ...how, clearanceMm: how.fit * wish.clearanceMm };
    let made: Made;
    if (isThin(kind)) {
      const sites = sitesFor(kind, by.known, section, { ...making, clearanceMm: wish.clearanceMm, ground });
      if (isSeen(seen, { kind, ...how, sites: sites.sites })) continue;
      made = thinJoint(section, ground, { ...making, kind, sites });
    } else if (isRemovable(kind)) {
      made = removableKeys(section, ground, { ...making, kind, spacingMm: how.closer * by.settings.spacingMm });
    } else made = roundJoint(section, ground, { ...making, kind });
    if (made.keys.length === 0) {
      if (made.why !== null) tried.push(made.why);
      continue;
    }
    const play = jointPlay(made.keys, section, { toleranceMm: 0 });
    const misfitMm = play?.held ? play.nominalMm : Infinity;
    if (best === null || misfitMm <= TRUE_MM || misfitMm < WORTH * best.misfitMm) best = { ...made, kind, misfitMm };
    if (misfitMm <= TRUE_MM || isRemovable(kind)) break;
  }
  if (best === null && isRemovable(choice.kind as MadeKind)) {
    const usual = buildJoint(section, ground, { ...wish, asked: null }, by);
    return { ...usual, why: `Asked for ${choice.kind}. ${tried[0] ?? ''} It gets ${usual.kind}.` };
  }
  if (best === null) return none(choice.why ?? tried[0] ?? null);
  by.taken.sites.push(...best.sites);
  by.taken.bodies.push(...best.bodies);
  return { section, kind: best.kind, wallMm, keys: best.keys, misfitMm: best.misfitMm, why: choice.why };
}

/** A joint that lets its outer edge off by no more is true enough: the first way that comes so far is taken, else the truest. A step that filler hides
 *  in one round; common practice, no source. */
export const TRUE_MM = 0.3;

/** More keys, or a tighter fit, are taken only when they make the joint truer by a tenth. */
const WORTH = 0.9;

interface Way {
  readonly kind: MadeKind;
  /** Share of the machine's clearance; and of that, what is left along the seam beside a tab. */
  readonly fit: number;
  readonly beside: number;
  /** Only for what lies on thin walls. */
  readonly heldBy: 'stops' | 'pocket';
  /** Share of the spacing asked for. */
  readonly closer: number;
  /** Share of the diameter of pins, down to which they may be thinner where there is no room. */
  readonly thinnest: number;
  /** Who carries, where not both do in turn: 0 the lower piece. */
  readonly carrier: 0 | 1;
}

/** From the thinnest and fewest keys to such as hold each on its own, more of them, and a tighter fit. */
function waysToTry(choice: KindChoice, side: KeySide): readonly Way[] {
  const first = side === 'second' ? 1 : 0;
  const carriers: readonly (0 | 1)[] = side === 'both' ? [0, 1] : [first];
  return kindsToTry(choice, side).flatMap((kind): Way[] => {
    if (kind === 'pins') return PINS.map((how) => ({ ...how, kind, heldBy: 'stops', carrier: first }));
    if (kind !== 'tabs')
      return CLOSER.filter(({ beside }) => beside === 1).map((how) => ({
        ...how,
        kind,
        heldBy: 'stops',
        carrier: first,
      }));
    return [
      ...(side === 'both' ? [{ kind, heldBy: 'stops', ...CLOSER[0]!, carrier: first } as const] : []),
      ...CLOSER.flatMap((how) => carriers.map((carrier) => ({ ...how, kind, heldBy: 'pocket', carrier }) as const)),
    ];
  });
}

/** A print that slides freely at the machine's clearance still goes together at three quarters of it, with a stroke of a file at worst: 0.15 to
 *  0.25 mm is a normal fit. So only what nothing else makes true gets it. What even that leaves loose is led more closely by the flanks of its tabs
 *  alone: small, straight, printed upright, and easily filed. */
const TIGHTER = 0.75;
const SNUG = 0.5;
const CLOSER = [
  { fit: 1, beside: 1 },
  { fit: TIGHTER, beside: 1 },
  { fit: TIGHTER, beside: SNUG },
].flatMap((fit) => [1, 0.7, 0.5].map((closer) => ({ ...fit, closer, thinnest: 1 })));

/** Thin ones reach into the narrow ends of a face, and what is farther apart holds a turn better; thick ones are stronger. */
const PINS = [1, TIGHTER].flatMap((fit) =>
  [
    { closer: 1, thinnest: 1 },
    { closer: 0.7, thinnest: 1 },
    { closer: 0.7, thinnest: 0.75 },
    { closer: 0.5, thinnest: 0.5 },
  ].map((how) => ({ ...how, fit, beside: 1 })),
);

/** What was tried already: another spacing may find the same places. */
type Seen = Omit<Way, 'closer' | 'thinnest'> & { readonly sites: readonly KeySite[] };

function isSeen(seen: Seen[], now: Seen): boolean {
  const isSame = (one: Seen): boolean =>
    one.kind === now.kind &&
    one.fit === now.fit &&
    one.beside === now.beside &&
    one.heldBy === now.heldBy &&
    one.carrier === now.carrier &&
    one.sites.length === now.sites.length &&
    one.sites.every((site, i) => site === now.sites[i]);
  if (seen.some(isSame)) return true;
  seen.push(now);
  return false;
}

type MadeKind = Exclude<JointKind, 'none'>;

function isThin(kind: MadeKind): kind is ThinKind {
  return kind === 'tabs' || kind === 'laps' || kind === 'strips';
}

/** Held by what pulls or screws it shut, not by how truly it is led: the first way that has room is taken. */
function isRemovable(kind: MadeKind): kind is 'magnets' | 'screws' {
  return kind === 'magnets' || kind === 'screws';
}

/** The chosen kind as far as it may protrude, then what lies inside, then what is loose. A lap holds one way only: without one of the other piece
 *  beside it there has to be a pocket over a tab instead. */
function kindsToTry({ kind, wallMm }: KindChoice, side: KeySide): readonly MadeKind[] {
  const loose: readonly MadeKind[] = wallMm === null ? ['rods'] : ['strips'];
  const thin: readonly MadeKind[] = wallMm === null ? [] : side === 'neither' ? ['strips'] : ['tabs', 'strips'];
  switch (kind) {
    case 'pins':
      return [...(side === 'neither' ? [] : (['pins'] as const)), 'rods', ...thin];
    case 'rods':
      return ['rods', ...thin];
    case 'tabs':
      return side === 'neither' ? loose : ['tabs', ...loose];
    case 'laps':
      if (side === 'neither') return loose;
      return side === 'both' ? ['laps', 'tabs', ...loose] : ['tabs', ...loose];
    case 'strips':
      return loose;
    case 'magnets':
    case 'screws':
      return [kind];
    default:
      return [];
  }
}

interface Making {
  readonly side: KeySide;
  readonly clearanceMm: number;
  readonly settings: JointsSettings;
  readonly taken: TakenRoom;
  readonly heldBy: 'stops' | 'pocket';
  readonly closer: number;
  readonly beside: number;
  readonly thinnest: number;
  readonly carrier: 0 | 1;
}

interface Made {
  readonly keys: readonly KeySolids[];
  readonly sites: readonly KeySite[];
  readonly bodies: readonly RoundBody[];
  readonly why: string | null;
}

/** Places found before, by kind: another spacing, a tighter fit or another carrier finds the same. */
export type KnownPlaces = Map<ThinKind, SitePlaces>;

function sitesFor(
  kind: ThinKind,
  known: KnownPlaces,
  section: SeamSection,
  by: JointWish & Pick<Making, 'settings' | 'taken' | 'closer' | 'beside'> & { readonly ground: KeyGround },
): KeySites {
  const { settings, taken, closer, ground } = by;
  let places = known.get(kind);
  if (places === undefined) {
    const rooms = thinRooms(kind, settings.tabWidthMm, keyForm(by));
    const alone = roomsAlone(kind, settings.tabWidthMm, keyForm(by));
    places = sitePlaces(section, ground, { rooms, alone });
    known.set(kind, places);
  }
  return keySites(places, closer * settings.spacingMm, taken.sites);
}

function keyForm({ settings, clearanceMm, beside }: Pick<Making, 'settings' | 'clearanceMm' | 'beside'>): KeyForm {
  const { tabReachMm: reachMm, tabThickMm: thickMm, skinMm } = settings;
  return { reachMm, thickMm, clearanceMm, besideMm: beside * clearanceMm, skinMm };
}

function thinJoint(
  section: SeamSection,
  ground: KeyGround,
  by: Making & { readonly kind: ThinKind; readonly sites: KeySites },
): Made {
  const { kind, heldBy } = by;
  const { sites } = by.sites;
  const { pieces } = section.seam;
  // what holds one way only is carried by both in turn; in a pocket each holds alone, and one face stays free to print down
  const carriers = heldBy === 'stops' ? 'in turn' : by.carrier;
  const keys = thinKeys(sites, keyForm(by), { kind, heldBy, carriers, pieces, ground });
  return { keys, sites, bodies: [], why: keys.length === 0 ? sayWithout(by.sites) : null };
}

function roundJoint(section: SeamSection, ground: KeyGround, by: Making & { readonly kind: 'pins' | 'rods' }): Made {
  const { settings, taken, kind } = by;
  const form = {
    diameterMm: kind === 'pins' ? settings.pinMm : settings.rodMm,
    clearanceMm: by.clearanceMm,
    skinMm: settings.skinMm,
    spacingMm: by.closer * settings.spacingMm,
    thinnestMm: by.thinnest * settings.pinMm,
  };
  const found = (kind === 'pins' ? pinKeys : rodKeys)(section, ground, form, {
    carrier: by.side === 'both' && by.thinnest < 1 ? 'either' : by.carrier,
    taken: taken.bodies,
  });
  return { ...found, sites: [] };
}
