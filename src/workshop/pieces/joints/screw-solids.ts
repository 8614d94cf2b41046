// Screws in bosses on the inside: a clear hole in one boss, with a flat for the head, and a narrow one in the other that the screw cuts its thread in.
import { bossesAt, bossRoom, type NoBoss } from './boss-solids.ts';
import { ContactList } from './contact-list.ts';
import type { KeyBearer } from './key-form.ts';
import type { KeyRoom, KeySite } from './key-site.ts';
import type { KeySolids } from './key-solids.ts';
import { addRoundContacts, aroundMm, roundSolid, turnedFrame } from './round-solids.ts';

export interface ScrewForm {
  readonly diameterMm: number;
  readonly skinMm: number;
}

export const SCREW_DEFAULTS = {
  /** The clear hole is so much wider than the screw, mm. */
  slackMm: 0.5,
  /** Of the narrow hole, in diameters of the screw: common practice for screws that form their thread in printed plastic, no source. */
  pilot: 0.85,
  /** Length of thread, in diameters. */
  thread: 2.5,
  /** The clear boss, from its face to the head, in diameters. */
  under: 2,
  /** Diameter of a pan head, in diameters of the screw. */
  head: 2,
  headSlackMm: 0.3,
  wallMm: 1.6,
  floorMm: 1,
} as const;

function formOf({ diameterMm: d }: ScrewForm) {
  const { head, headSlackMm, under, thread, floorMm, wallMm } = SCREW_DEFAULTS;
  const holeMm = (d * head) / 2 + headSlackMm;
  const depthMm = [d * under, d * thread + floorMm] as const;
  // The space for the head goes on through the ramp.
  return { holeMm, depthMm, clearMm: [depthMm[0] + 2 * holeMm + wallMm + 1, depthMm[1]] as const, wallMm };
}

/** The longest screw that its holes take, from under the head. */
export function screwLengthMm({ diameterMm }: Pick<ScrewForm, 'diameterMm'>): number {
  return (SCREW_DEFAULTS.under + SCREW_DEFAULTS.thread) * diameterMm;
}

/** The room that a screw in its bosses needs on the inside of both walls. */
export function screwRoom(form: ScrewForm): KeyRoom {
  return bossRoom(formOf(form), form.skinMm);
}

/** At a site of a thin wall, or the reason why there are none, see `bossesAt`. The carrier has the clear hole and the head. Space: model, worn.
 *  Weak: that a driver reaches the head along the inside is not looked at; a short or angled one is needed in a helm. */
export function screwBosses(site: KeySite, form: ScrewForm, by: KeyBearer): KeySolids | NoBoss {
  const boss = formOf(form);
  const bosses = bossesAt(site, boss, by.carrier);
  if (typeof bosses === 'string') return bosses;
  const { diameterMm } = form;
  const { slackMm, pilot, thread } = SCREW_DEFAULTS;
  const { frame } = bosses;
  const clearMm = (diameterMm + slackMm) / 2;
  const [clear, narrow, head] = [clearMm, (diameterMm * pilot) / 2, boss.holeMm].map(aroundMm) as [
    number,
    number,
    number,
  ];
  const [under, end] = [boss.depthMm[0], bosses.longMm[0] + 1];
  const contacts = new ContactList();
  addRoundContacts(contacts, frame, {
    pegMm: diameterMm / 2,
    holeMm: clearMm,
    heights: [-under + 0.3, -0.3],
    isLoose: false,
  });
  return {
    key: {
      kind: 'screw',
      carrier: by.pieces[by.carrier],
      receiver: by.pieces[1 - by.carrier]!,
      atMm: frame.at,
      along: frame.along,
      into: frame.into,
      inward: frame.inward,
      widthMm: diameterMm,
      reachMm: diameterMm * thread,
      thickMm: diameterMm,
      clearanceMm: clearMm - diameterMm / 2,
      heldBy: 'seat',
    },
    carrier: {
      add: [bosses.carrier],
      cut: [roundSolid(turnedFrame(frame), [0, -0.5, clear, -0.5, clear, under, head, under, head, end, 0, end])],
    },
    receiver: {
      add: [bosses.receiver],
      cut: [roundSolid(frame, [0, -0.5, narrow, -0.5, narrow, diameterMm * thread, 0, diameterMm * thread])],
    },
    loose: null,
    contacts: contacts.contacts(),
  };
}
