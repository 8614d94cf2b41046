// The keys of one seam: the kind by its wall or as asked for, carried by whoever may, as many as have room.
import { type JointKind, TRUE_MM } from '../../process/joints-record.ts';
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
import {
  bearsKey,
  type DrawnKeys,
  roomsAlone,
  sayWithout,
  type ThinKeys,
  type ThinKind,
  thinKeys,
  thinRooms,
} from './thin-keys.ts';

/** A seam with the solids of its keys. */
export interface BuiltJoint {
  readonly section: SeamSection;
  readonly kind: JointKind;
  readonly wallMm: number;
  readonly keys: readonly KeySolids[];
  /** Where those on thin walls stand. */
  readonly sites: readonly KeySite[];
  /** By its own keys alone, as drawn, at the outer edge; Infinity when it is not held, null without keys. */
  readonly misfitMm: number | null;
  readonly why: string | null;
}

export interface JointWish {
  readonly side: KeySide;
  readonly clearanceMm: number;
  /** Null: by the wall. */
  readonly asked: JointKind | null;
  /** Places that turned out to bear no key. */
  readonly barred: readonly KeySite[];
  /** Places are taken by whether a key can be drawn there, not only by the room: slow, and truer where walls rise. */
  readonly isThorough: boolean;
}

/** Room that keys of other seams have taken already; grows with every seam. */
export interface TakenRoom {
  readonly sites: KeySite[];
  readonly bodies: RoundBody[];
}

/** Keys for one seam: the first way that is true, else the truest; none, with the reason, where nothing fits. `known`: places and keys found for
 *  this seam before. Cost: see sitePlaces, keySites and roundKeys. Space: worn. */
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
  const none = (why: string | null): BuiltJoint => ({
    section,
    kind: 'none',
    wallMm,
    keys: [],
    sites: [],
    misfitMm: null,
    why,
  });
  if (wish.asked === 'none') return none('It was asked to have none.');
  const tried: string[] = [];
  const seen: Seen[] = [];
  let best: (Made & { readonly kind: MadeKind; readonly misfitMm: number }) | null = null;
  for (const { kind, ...how } of waysToTry(choice, wish)) {
    const { clearanceMm: looseMm } = wish;
    const making = { ...wish, ...by, ...how, looseMm, clearanceMm: how.fit * looseMm };
    let made: Made;
    if (isThin(kind)) {
      const thin = thinSites(kind, section, { ...making, ground });
      if (isSeen(seen, { kind, ...how, sites: thin.sites.sites })) continue;
      made = thinJoint(thin, making);
      if (kind === 'strips' && made.keys.length < 2) made = { ...made, keys: [], why: ONE_STRIP };
    } else if (isRemovable(kind)) {
      made = removableKeys(section, ground, { ...making, kind, spacingMm: how.closer * by.settings.spacingMm });
    } else made = roundJoint(section, ground, { ...making, kind });
    if (made.keys.length === 0) {
      if (made.why !== null) tried.push(made.why);
      continue;
    }
    const play = jointPlay([{ section, keys: made.keys }], section, { toleranceMm: 0 });
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
  const { kind, keys, sites, misfitMm } = best;
  return { section, kind, wallMm, keys, sites, misfitMm, why: choice.why };
}

const ONE_STRIP = 'There is room for one splice only, and one holds one way only.';

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
  /** The other one does where that one cannot. */
  readonly orOther?: boolean;
}

/** From the thinnest and fewest keys to such as hold each on its own, more of them, and a tighter fit. */
function waysToTry(choice: KindChoice, { side, isThorough }: JointWish): readonly Way[] {
  const first = side === 'second' ? 1 : 0;
  const carriers: readonly (0 | 1)[] = side === 'both' ? [0, 1] : [first];
  return kindsToTry(choice, side).flatMap((kind): Way[] => {
    if (kind === 'pins') return PINS.map((how) => ({ ...how, kind, heldBy: 'stops', carrier: first }));
    if (kind !== 'tabs') {
      const closer = CLOSER.filter(({ beside }) => beside === 1);
      // each strip holds one way only, so a short seam may want two of each carrier
      const closest = kind === 'strips' && isThorough ? [{ ...closer.at(-1)!, closer: 0.3 }] : [];
      return [...closer, ...closest].map((how) => ({ ...how, kind, heldBy: 'stops', carrier: first }));
    }
    return [
      ...(side === 'both' ? [{ kind, heldBy: 'stops', ...CLOSER[0]!, carrier: first } as const] : []),
      ...CLOSER.flatMap((how) => {
        const pocket = { ...how, kind, heldBy: 'pocket' } as const;
        const alone = carriers.map((carrier) => ({ ...pocket, carrier }));
        return side === 'both' ? [...alone, { ...pocket, carrier: first, orOther: true } as const] : alone;
      }),
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
    one.orOther === now.orOther &&
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
  /** The machine's; places are found for it. */
  readonly looseMm: number;
  readonly known: KnownPlaces;
  readonly barred: readonly KeySite[];
  readonly isThorough: boolean;
  readonly settings: JointsSettings;
  readonly taken: TakenRoom;
  readonly heldBy: 'stops' | 'pocket';
  readonly closer: number;
  readonly beside: number;
  readonly thinnest: number;
  readonly carrier: 0 | 1;
  readonly orOther?: boolean;
}

interface Made {
  readonly keys: readonly KeySolids[];
  readonly sites: readonly KeySite[];
  readonly bodies: readonly RoundBody[];
  readonly why: string | null;
}

/** What was found on a seam before: another spacing, a tighter fit or another carrier finds the same places, and often the same keys. */
export interface KnownPlaces {
  readonly places: Map<ThinKind, SitePlaces>;
  readonly drawn: DrawnKeys;
}

export function nothingKnown(): KnownPlaces {
  return { places: new Map(), drawn: new Map() };
}

function placesFor(
  kind: ThinKind,
  { places: known }: KnownPlaces,
  section: SeamSection,
  by: Pick<Making, 'settings' | 'clearanceMm' | 'beside'> & { readonly ground: KeyGround },
): SitePlaces {
  let places = known.get(kind);
  if (places === undefined) {
    const rooms = thinRooms(kind, by.settings.tabWidthMm, keyForm(by));
    const alone = roomsAlone(kind, by.settings.tabWidthMm, keyForm(by));
    places = sitePlaces(section, by.ground, { rooms, alone });
    known.set(kind, places);
  }
  return places;
}

function keyForm({ settings, clearanceMm, beside }: Pick<Making, 'settings' | 'clearanceMm' | 'beside'>): KeyForm {
  const { tabReachMm: reachMm, tabThickMm: thickMm, skinMm } = settings;
  return { reachMm, thickMm, clearanceMm, besideMm: beside * clearanceMm, skinMm };
}

function thinJoint({ sites: found, about }: ThinSites, by: Making): Made {
  const keys = thinKeys(found.sites, keyForm(by), about);
  return { keys, sites: found.sites, bodies: [], why: keys.length === 0 ? sayWithout(found) : null };
}

interface ThinSites {
  readonly sites: KeySites;
  readonly about: ThinKeys;
}

/** Where keys of a kind can stand, drawn in that way. */
function thinSites(kind: ThinKind, section: SeamSection, by: Making & { readonly ground: KeyGround }): ThinSites {
  const { heldBy, orOther = false, ground, known, settings, taken, barred, closer, isThorough } = by;
  // what holds one way only is carried by both in turn; in a pocket each holds alone, and mostly one face stays free to print down
  const carriers = heldBy === 'stops' ? 'in turn' : by.carrier;
  const about: ThinKeys = { kind, heldBy, carriers, orOther, pieces: section.seam.pieces, ground, drawn: known.drawn };
  const places = placesFor(kind, known, section, { ...by, clearanceMm: by.looseMm });
  const bears = (site: KeySite): boolean => !isThorough || bearsKey(site, keyForm(by), about);
  const sites = keySites(places, closer * settings.spacingMm, [...taken.sites, ...barred], bears);
  return { sites, about };
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
