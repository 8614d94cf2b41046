// Pins grown on one piece, and loose rods in holes of both: the keys of thick sections.
import type { Mesh } from '../../../mesh/mesh.ts';
import type { Key } from '../../process/joints-record.ts';
import { ContactList } from './contact-list.ts';
import type { KeyFrame } from './key-field.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeySolids } from './key-solids.ts';
import { type RoundDrawing, type RoundKeys, type RoundSide, type RoundSite, roundKeys } from './round-keys.ts';
import { addRoundContacts, aroundMm, roundSolid, turnedFrame } from './round-solids.ts';
import type { SeamSection } from './seam-section.ts';

export interface PinForm {
  readonly diameterMm: number;
  readonly clearanceMm: number;
  readonly skinMm: number;
  readonly spacingMm: number;
  /** Down to this a place without room for the diameter asked for gets a thinner one; as asked for where it is not given. */
  readonly thinnestMm?: number;
}

export const PIN_DEFAULTS = {
  /** Reach into the receiver in diameters, longest first. */
  reaches: [2, 1.6, 1.2],
  /** A hole goes on so far beyond the tip, mm: room for glue, and for a bridge that sags. */
  beyondMm: 0.5,
  /** Lead-in at the tip and, where the skin leaves room, at the mouth of the hole, mm. */
  leadMm: 0.5,
  /** A pin begins so far inside its carrier, mm. */
  rootMm: 1,
  /** Holes narrower than this print shut, mm; thinner pins break. */
  leastMm: 2,
  /** A rod reaches at least this far into either piece, mm: thin ones are short in diameters. */
  leastRodReachMm: 4,
} as const;

/** Pins on one piece of the seam, each in a socket of the other. Sockets end in a cone of 45 degrees, so that they print with the mouth on the
 *  bed as well. Space: model, worn. Cost: `roundPlaces`. Method: docs/methods/keyed-pieces.md. */
export function pinKeys(section: SeamSection, ground: KeyGround, form: PinForm, side: RoundSide): RoundKeys {
  return roundKeys(section, ground, downTo(form, pinDrawing(form, section.seam.bowMm)), {
    ...side,
    spacingMm: form.spacingMm,
  });
}

/** Lengths of rod, glued into the carrier first, each in a hole of both pieces. */
export function rodKeys(section: SeamSection, ground: KeyGround, form: PinForm, side: RoundSide): RoundKeys {
  return roundKeys(section, ground, [rodDrawing(form)], { ...side, spacingMm: form.spacingMm });
}

/** A drawing and its thinner ones. */
function downTo({ diameterMm, thinnestMm = diameterMm }: PinForm, drawing: RoundDrawing): readonly RoundDrawing[] {
  const out = [drawing];
  for (let mm = diameterMm - THINNER_MM; mm >= thinnestMm - 1e-9; mm -= THINNER_MM) {
    const next = out.at(-1)!.thinner();
    if (next === null) break;
    out.push(next);
  }
  return out;
}

const THINNER_MM = 0.5;

function pinDrawing(form: PinForm, bowMm: number): RoundDrawing {
  const { diameterMm, skinMm } = form;
  const holeMm = diameterMm / 2 + form.clearanceMm;
  return {
    words: `pins of ${diameterMm} mm`,
    reachesMm: PIN_DEFAULTS.reaches.map((reach) => reach * diameterMm),
    need: (reachMm) => ({
      radiusMm: holeMm,
      circleMm: aroundMm(holeMm) + skinMm,
      depthMm: [PIN_DEFAULTS.rootMm + bowMm, reachMm + PIN_DEFAULTS.beyondMm],
    }),
    draw: (site) => drawPin(site, form),
    thinner: () =>
      diameterMm - THINNER_MM < PIN_DEFAULTS.leastMm
        ? null
        : pinDrawing({ ...form, diameterMm: diameterMm - THINNER_MM }, bowMm),
  };
}

function rodDrawing(form: PinForm): RoundDrawing {
  const { diameterMm, skinMm, clearanceMm } = form;
  const holeMm = rodHole(form);
  return {
    words: `rods of ${diameterMm} mm`,
    reachesMm: PIN_DEFAULTS.reaches.map((reach) => Math.max(PIN_DEFAULTS.leastRodReachMm, reach * 2 * diameterMm)),
    need: (reachMm) => ({
      radiusMm: holeMm,
      circleMm: aroundMm(holeMm) + skinMm,
      depthMm: [reachMm + PIN_DEFAULTS.beyondMm, reachMm + PIN_DEFAULTS.beyondMm],
    }),
    draw: (site) => drawRod(site, form),
    thinner: () =>
      diameterMm - THINNER_MM + 2 * clearanceMm < PIN_DEFAULTS.leastMm
        ? null
        : rodDrawing({ ...form, diameterMm: diameterMm - THINNER_MM }),
  };
}

function rodHole({ diameterMm, clearanceMm }: PinForm): number {
  return Math.max(diameterMm / 2 + clearanceMm, PIN_DEFAULTS.leastMm / 2);
}

function drawPin(site: RoundSite, { diameterMm, clearanceMm, skinMm }: PinForm): KeySolids {
  const { frame, reachMm } = site;
  const radius = diameterMm / 2;
  const lead = Math.min(PIN_DEFAULTS.leadMm, radius / 2);
  const root = PIN_DEFAULTS.rootMm + site.bowMm;
  const pin = roundSolid(frame, [0, -root, radius, -root, radius, reachMm - lead, radius - lead, reachMm, 0, reachMm]);
  const holeMm = radius + clearanceMm;
  const { solid, mouthMm } = socket(site, { holeMm, skinMm, frame });
  const contacts = new ContactList();
  addRoundContacts(contacts, frame, { pegMm: radius, holeMm, heights: [mouthMm, reachMm - lead], isLoose: false });
  return {
    key: keyOf(site, { kind: 'pin', diameterMm, clearanceMm }),
    carrier: { add: [pin], cut: [] },
    receiver: { add: [], cut: [solid] },
    loose: null,
    contacts: contacts.contacts(),
  };
}

function drawRod(site: RoundSite, form: PinForm): KeySolids {
  const { frame, reachMm } = site;
  const radius = form.diameterMm / 2;
  const holeMm = rodHole(form);
  const { skinMm } = form;
  const inCarrier = socket(site, { holeMm, skinMm, frame: turnedFrame(frame) });
  const inReceiver = socket(site, { holeMm, skinMm, frame });
  const contacts = new ContactList();
  addRoundContacts(contacts, frame, { pegMm: radius, holeMm, heights: [inReceiver.mouthMm, reachMm], isLoose: true });
  return {
    key: keyOf(site, { kind: 'rod', diameterMm: form.diameterMm, clearanceMm: holeMm - radius }),
    carrier: { add: [], cut: [inCarrier.solid] },
    receiver: { add: [], cut: [inReceiver.solid] },
    loose: roundSolid(frame, [0, -reachMm, radius, -reachMm, radius, reachMm, 0, reachMm]),
    contacts: contacts.contacts(),
  };
}

/** A hole from the face on, with a wider mouth where the skin allows, and a cone for its end. mouthMm: where it is as narrow as it should be. */
function socket(
  { reachMm, roomMm, bowMm }: RoundSite,
  { holeMm, skinMm, frame }: { readonly holeMm: number; readonly skinMm: number; readonly frame: KeyFrame },
): { readonly solid: Mesh; readonly mouthMm: number } {
  const corner = aroundMm(holeMm);
  const end = reachMm + PIN_DEFAULTS.beyondMm;
  const lead = bowMm > 0 ? 0 : Math.min(PIN_DEFAULTS.leadMm, roomMm - skinMm - corner);
  const before = BEFORE_FACE_MM + bowMm;
  const mouth = lead < LEAST_LEAD_MM ? [corner, -before] : [corner + lead + before, -before, corner, lead];
  return {
    solid: roundSolid(frame, [0, -before, ...mouth, corner, end, 0, end + corner]),
    mouthMm: Math.max(lead < LEAST_LEAD_MM ? 0 : lead, bowMm),
  };
}

/** A cut begins so far outside of the face, mm. */
const BEFORE_FACE_MM = 0.5;
const LEAST_LEAD_MM = 0.1;

function keyOf(
  { frame, carrier, receiver, reachMm }: RoundSite,
  about: { readonly kind: Key['kind']; readonly diameterMm: number; readonly clearanceMm: number },
): Key {
  return {
    kind: about.kind,
    carrier,
    receiver,
    atMm: frame.at,
    along: frame.along,
    into: frame.into,
    inward: frame.inward,
    widthMm: about.diameterMm,
    reachMm,
    thickMm: about.diameterMm,
    clearanceMm: about.clearanceMm,
    heldBy: 'seat',
  };
}
