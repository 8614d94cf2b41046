// Disc magnets in pairs, one in each piece: in a thick section right in the mating face, in a thin wall in bosses on the inside.
import type { Key } from '../../process/joints-record.ts';
import { bossesAt, bossRoom, type NoBoss } from './boss-solids.ts';
import { ContactList } from './contact-list.ts';
import type { KeyFrame } from './key-field.ts';
import type { KeyBearer } from './key-form.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeyRoom, KeySite } from './key-site.ts';
import type { KeySolids } from './key-solids.ts';
import { type RoundDrawing, type RoundKeys, type RoundSide, roundKeys } from './round-keys.ts';
import { addRoundContacts, aroundMm, roundSolid, turnedFrame } from './round-solids.ts';
import type { SeamSection } from './seam-section.ts';

export interface MagnetForm {
  readonly diameterMm: number;
  readonly heightMm: number;
  readonly skinMm: number;
  readonly spacingMm: number;
}

export const MAGNET_DEFAULTS = {
  /** Pockets are so much wider and deeper than a disc, mm. */
  slackMm: 0.2,
  /** Round a pocket in a boss, and behind it, mm: three lines, or five layers. */
  wallMm: 1.2,
  floorMm: 1,
} as const;

/** How far the carrier's pocket is shallower and the receiver's deeper: the carrier's disc stands out and goes into the other pocket, so that the
 *  joint cannot slide. A third of the disc, 0.5 to 1 mm. */
function standsOut(heightMm: number): number {
  return Math.min(1, Math.max(0.5, heightMm / 3));
}

/** In the mating face of a thick section. Space: model, worn. Cost: `roundPlaces`. Method: docs/methods/keyed-pieces.md. */
export function magnetKeys(section: SeamSection, ground: KeyGround, form: MagnetForm, side: RoundSide): RoundKeys {
  const holeMm = pocketMm(form);
  const [own, other] = pocketDepths(form);
  const drawing: RoundDrawing = {
    words: `magnets of ${form.diameterMm} x ${form.heightMm} mm`,
    reachesMm: [other],
    need: () => ({ radiusMm: holeMm, circleMm: aroundMm(holeMm) + form.skinMm, depthMm: [own, other] }),
    draw: ({ frame, carrier, receiver, bowMm }) => pocketsAt(frame, { form, carrier, receiver, beforeMm: 0.5 + bowMm }),
    thinner: () => null,
  };
  return roundKeys(section, ground, [drawing], { ...side, spacingMm: form.spacingMm });
}

/** The room that a pair of magnets in bosses needs on the inside of both walls. */
export function magnetRoom(form: MagnetForm): KeyRoom {
  return bossRoom(bossForm(form), form.skinMm);
}

/** In bosses at a site of a thin wall; or the reason why there are none, see `bossesAt`. */
export function magnetBosses(site: KeySite, form: MagnetForm, by: KeyBearer): KeySolids | NoBoss {
  const bosses = bossesAt(site, bossForm(form), by.carrier);
  if (typeof bosses === 'string') return bosses;
  const [carrier, receiver] = [by.pieces[by.carrier], by.pieces[1 - by.carrier]!];
  const pockets = pocketsAt(bosses.frame, { form, carrier, receiver, beforeMm: 0.5 });
  return {
    ...pockets,
    carrier: { add: [bosses.carrier], cut: pockets.carrier.cut },
    receiver: { add: [bosses.receiver], cut: pockets.receiver.cut },
  };
}

function bossForm(form: MagnetForm) {
  const [own, other] = pocketDepths(form);
  const { floorMm, wallMm } = MAGNET_DEFAULTS;
  const depthMm = [own + floorMm, other + floorMm] as const;
  return { holeMm: pocketMm(form), depthMm, clearMm: depthMm, wallMm };
}

function pocketMm({ diameterMm }: MagnetForm): number {
  return (diameterMm + MAGNET_DEFAULTS.slackMm) / 2;
}

/** Together as deep as two discs and twice the slack. */
function pocketDepths({ heightMm }: MagnetForm): readonly [number, number] {
  const deep = heightMm + MAGNET_DEFAULTS.slackMm;
  return [deep - standsOut(heightMm), deep + standsOut(heightMm)];
}

/** Two flat-floored pockets and the carrier's disc in place. The disc is loose until it is glued: it has play in both. */
function pocketsAt(
  frame: KeyFrame,
  by: {
    readonly form: MagnetForm;
    readonly carrier: string;
    readonly receiver: string;
    readonly beforeMm: number;
  },
): KeySolids {
  const { form, beforeMm } = by;
  const [own, other] = pocketDepths(form);
  const [holeMm, pegMm] = [pocketMm(form), form.diameterMm / 2];
  const corner = aroundMm(holeMm);
  const pocket = (deep: number) => [0, -beforeMm, corner, -beforeMm, corner, deep, 0, deep];
  const outMm = form.heightMm - own;
  const contacts = new ContactList();
  addRoundContacts(contacts, frame, { pegMm, holeMm, heights: [0.1, Math.max(0.1, outMm - 0.1)], isLoose: true });
  const key: Key = {
    kind: 'magnet',
    carrier: by.carrier,
    receiver: by.receiver,
    atMm: frame.at,
    along: frame.along,
    into: frame.into,
    inward: frame.inward,
    widthMm: form.diameterMm,
    reachMm: outMm,
    thickMm: form.diameterMm,
    clearanceMm: holeMm - pegMm,
    heldBy: 'seat',
  };
  return {
    key,
    carrier: { add: [], cut: [roundSolid(turnedFrame(frame), pocket(own))] },
    receiver: { add: [], cut: [roundSolid(frame, pocket(other))] },
    loose: roundSolid(frame, [0, -own, pegMm, -own, pegMm, outMm, 0, outMm]),
    contacts: contacts.contacts(),
  };
}
