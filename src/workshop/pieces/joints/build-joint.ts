// The keys of one seam: the kind by its wall or as asked for, carried by whoever may, as many as have room.
import type { JointKind } from '../../process/joints-record.ts';
import type { JointsSettings } from './joints-settings.ts';
import { jointKindFor, type KindChoice, sectionMeasures } from './joint-kind.ts';
import type { KeyForm } from './key-form.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeySide } from './key-sides.ts';
import { type KeySite, keySites } from './key-sites.ts';
import type { KeySolids } from './key-solids.ts';
import { pinKeys, rodKeys } from './pin-solids.ts';
import type { RoundBody } from './round-places.ts';
import type { SeamSection } from './seam-section.ts';
import { sayWithout, type ThinKind, thinKeys, thinRooms } from './thin-keys.ts';

/** A seam with the solids of its keys. */
export interface BuiltJoint {
  readonly section: SeamSection;
  readonly kind: JointKind;
  readonly wallMm: number;
  readonly keys: readonly KeySolids[];
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

/** Keys for one seam; none, with the reason, where nothing fits. Cost: see keySites and roundKeys. Space: worn. */
export function buildJoint(
  section: SeamSection,
  ground: KeyGround,
  wish: JointWish,
  by: { readonly settings: JointsSettings; readonly taken: TakenRoom },
): BuiltJoint {
  const measures = sectionMeasures(section, ground);
  const limits = { ...by.settings, clearanceMm: wish.clearanceMm };
  const choice = jointKindFor(measures, limits, wish.asked ?? undefined);
  const wallMm = measures.wallMm ?? measures.circleMm;
  const none = (why: string | null): BuiltJoint => ({ section, kind: 'none', wallMm, keys: [], why });
  if (wish.asked === 'none') return none('It was asked to have none.');
  const tried: string[] = [];
  for (const kind of kindsToTry(choice, wish.side)) {
    const made = isThin(kind)
      ? thinJoint(section, ground, { ...wish, ...by, kind })
      : roundJoint(section, ground, { ...wish, ...by, kind });
    if (made.keys.length > 0) return { section, kind, wallMm, keys: made.keys, why: choice.why };
    if (made.why !== null) tried.push(made.why);
  }
  return none(choice.why ?? tried[0] ?? null);
}

type MadeKind = 'tabs' | 'laps' | 'strips' | 'pins' | 'rods';

function isThin(kind: MadeKind): kind is ThinKind {
  return kind === 'tabs' || kind === 'laps' || kind === 'strips';
}

/** The chosen kind as far as it may protrude, then what lies inside, then what is loose. A lap holds one way only: without one of the other piece
 *  beside it there has to be a pocket over a tab instead. */
function kindsToTry({ kind, wallMm }: KindChoice, side: KeySide): readonly MadeKind[] {
  const loose: readonly MadeKind[] = wallMm === null ? ['rods'] : ['strips'];
  switch (kind) {
    case 'pins':
      if (side === 'neither') return ['rods', ...loose];
      return wallMm === null ? ['pins', 'rods'] : ['pins', 'rods', 'tabs', 'strips'];
    case 'rods':
      return ['rods', ...loose];
    case 'tabs':
      return side === 'neither' ? loose : ['tabs', ...loose];
    case 'laps':
      if (side === 'neither') return loose;
      return side === 'both' ? ['laps', 'tabs', ...loose] : ['tabs', ...loose];
    case 'strips':
      return loose;
    default:
      return [];
  }
}

interface Making {
  readonly side: KeySide;
  readonly clearanceMm: number;
  readonly settings: JointsSettings;
  readonly taken: TakenRoom;
}

interface Made {
  readonly keys: readonly KeySolids[];
  readonly why: string | null;
}

function thinJoint(section: SeamSection, ground: KeyGround, by: Making & { readonly kind: ThinKind }): Made {
  const { settings, taken, kind } = by;
  const form: KeyForm = {
    reachMm: settings.tabReachMm,
    thickMm: settings.tabThickMm,
    clearanceMm: by.clearanceMm,
    skinMm: settings.skinMm,
  };
  const rooms = thinRooms(kind, settings.tabWidthMm, form);
  const { sites, without } = keySites(section, ground, { rooms, spacingMm: settings.spacingMm, taken: taken.sites });
  const inTurn = by.side === 'both' || by.side === 'neither' || kind === 'strips';
  // one key alone holds nothing by turns
  const isAlone = sites.length < 2 && kind === 'tabs';
  const { pieces } = section.seam;
  const carriers = inTurn && !isAlone ? 'in turn' : by.side === 'second' ? 1 : 0;
  const heldBy = carriers === 'in turn' ? 'stops' : 'pocket';
  const keys = thinKeys(sites, form, { kind, heldBy, carriers, pieces, ground });
  if (keys.length === 0) return { keys, why: sayWithout(without) };
  taken.sites.push(...sites);
  return { keys, why: null };
}

function roundJoint(section: SeamSection, ground: KeyGround, by: Making & { readonly kind: 'pins' | 'rods' }): Made {
  const { settings, taken, kind } = by;
  const form = {
    diameterMm: kind === 'pins' ? settings.pinMm : settings.rodMm,
    clearanceMm: by.clearanceMm,
    skinMm: settings.skinMm,
    spacingMm: settings.spacingMm,
  };
  const carrier = by.side === 'second' ? 1 : 0;
  const found = (kind === 'pins' ? pinKeys : rodKeys)(section, ground, form, { carrier, taken: taken.bodies });
  taken.bodies.push(...found.bodies);
  return found;
}
