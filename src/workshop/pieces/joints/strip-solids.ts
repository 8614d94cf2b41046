// Splice strips: loose, glued into shallow seats on the inside of both pieces, so that both can print on their mating faces.
import { ContactList } from './contact-list.ts';
import { evenly, fieldSlab, type SlabPoint } from './field-slab.ts';
import { type KeyBearer, type KeyForm, keyOf, LEAD_MM, TAPER_MM } from './key-form.ts';
import { leanOf, SHEET_STEP_MM, slabPoint, topOver, wallHeight } from './key-sheets.ts';
import { type KeyRoom, type KeySite, type SideOfSite, seenFrom } from './key-site.ts';
import type { KeySolids } from './key-solids.ts';
import { seatContacts } from './seat-contacts.ts';
import { seatEndMm, seatSlab } from './seat-slab.ts';

/** A seat shallower than this does not hold along the seam; a deeper one holds no better. */
export const LEAST_SEAT_MM = 0.8;
const MOST_SEAT_MM = 1.4;
const SPARE_MM = 0.1;
/** Share of the clearance beside the strip in the seat that it is glued into: it is laid in from above, and its two short flanks are easily filed. */
const SNUG = 0.5;
/** Of the strip, in its seat. */
const LEAST_HOLD_MM = 0.3;

export function stripRoom(widthMm: number, { reachMm, thickMm, clearanceMm, skinMm }: KeyForm): KeyRoom {
  return {
    widthMm,
    halfMm: widthMm / 2 + clearanceMm,
    depthMm: reachMm + seatEndMm(MOST_SEAT_MM),
    heightMm: thickMm + 2,
    leastWallMm: skinMm + LEAST_SEAT_MM + SPARE_MM,
  };
}

/** A strip and its two seats. The carrier has it glued in first: pressed onto the floor, so that only the receiver's has a clearance under it, but anywhere
 *  between the sides, which therefore stand closer there, and count with the receiver's. What is drawn 0 apart is as far apart as glue and print make it: JointPlay.printedMm.
 *  Null where the wall is too thin for seats. Space: worn. */
export function stripSolids(site: KeySite, form: KeyForm, by: KeyBearer): KeySolids | null {
  const side = seenFrom(site, by.carrier);
  const { clearanceMm, skinMm, reachMm } = form;
  const over = Math.max(side.receiver.underMm, side.carrier.underMm);
  const halfMm = site.room.widthMm / 2;
  const deepMm = Math.min(MOST_SEAT_MM, site.wallMm - skinMm - over - stepAt(side, halfMm) - SPARE_MM);
  if (deepMm < clearanceMm + LEAST_HOLD_MM) return null;
  const lean = leanOf(side.receiver);
  const rise = Math.sqrt(1 + Math.max(0, lean) ** 2);
  const at = (lift: number) => (a: number, depth: number) =>
    depth >= 0
      ? topOver(side, a, depth, lift)
      : wallHeight(side.carrier, a, depth) - wallHeight(side.carrier, a, 0) + topOver(side, a, 0, lift);
  const underside = at(-(deepMm - clearanceMm) * rise);
  const top = at((form.thickMm - deepMm + clearanceMm) * rise);
  const contacts = new ContactList();
  const wall = (a: number, depth: number) => wallHeight(side.receiver, a, depth);
  seatContacts(contacts, {
    side,
    halfMm,
    reachMm,
    underside,
    top: wall,
    floorGapMm: clearanceMm,
    sideGapMm: (1 + SNUG) * clearanceMm,
  });
  const seat = { halfMm, reachMm, clearanceMm, underside };
  return {
    key: keyOf('strip', { site, side, form, by }, { reachMm, thickMm: form.thickMm, heldBy: 'seat' }),
    carrier: { add: [], cut: [seatSlab(side, { ...seat, hand: -1, clearanceMm: SNUG * clearanceMm, underMm: 0 })] },
    receiver: { add: [], cut: [seatSlab(side, { ...seat, hand: 1, underMm: clearanceMm })] },
    loose: fieldSlab(side.frame, stripRows(side, { halfMm, reachMm, underside, top })),
    contacts: contacts.contacts(),
  };
}

/** How far the carrier's smooth wall stands over the receiver's at the seam, at most: both are followed from the receiver's, so the carrier's seat is
 *  deeper by it. */
function stepAt(side: SideOfSite, halfMm: number): number {
  const steps = evenly(-halfMm, halfMm, SHEET_STEP_MM).map(
    (a) => wallHeight(side.carrier, a, 0) - wallHeight(side.receiver, a, 0),
  );
  return Math.max(0, ...steps);
}

function stripRows(
  side: SideOfSite,
  strip: {
    readonly halfMm: number;
    readonly reachMm: number;
    readonly underside: (a: number, depth: number) => number;
    readonly top: (a: number, depth: number) => number;
  },
): SlabPoint[][] {
  const { halfMm, reachMm, underside, top } = strip;
  const depths = [-reachMm, ...evenly(TAPER_MM - reachMm, reachMm - TAPER_MM, SHEET_STEP_MM), reachMm];
  return depths.map((depth) => {
    const lead = Math.abs(depth) === reachMm ? LEAD_MM : 0;
    return evenly(-halfMm, halfMm, SHEET_STEP_MM).map((a) => {
      const narrow = a * (1 - lead / halfMm);
      return slabPoint(side, narrow, depth, { low: underside(a, depth) + lead, high: top(a, depth) - lead });
    });
  });
}
