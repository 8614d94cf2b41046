// Laps: tabs sunk flush into the other wall. Nothing stands up on the inside, and the wall must be thick enough for both.
import { ContactList } from './contact-list.ts';
import { evenly, fieldSlab } from './field-slab.ts';
import { type KeyBearer, type KeyForm, keyOf, LEAD_MM, TAPER_MM } from './key-form.ts';
import { leanOf, SHEET_STEP_MM, slabPoint, topOver, underWall, wallHeight } from './key-sheets.ts';
import { type KeyRoom, type KeySite, type SideOfSite, seenFrom } from './key-site.ts';
import type { KeySolids } from './key-solids.ts';
import { seatContacts } from './seat-contacts.ts';
import { seatEndMm, seatSlab } from './seat-slab.ts';

/** Thinner ones break at the seam. */
export const LEAST_LAP_MM = 1.5;
const LEAST_REACH_MM = 4;
/** How far its root stands in its own wall. */
const ROOT_MM = 3;
/** A lap's top lies so far under the wall that it fills. */
const FLUSH_MM = 0.1;
/** What the wall may be off between the places where it was measured. */
const SPARE_MM = 0.1;

export function lapRoom(widthMm: number, { reachMm, thickMm, clearanceMm, skinMm }: KeyForm): KeyRoom {
  return {
    widthMm,
    halfMm: widthMm / 2 + clearanceMm,
    depthMm: reachMm + seatEndMm(thickMm + clearanceMm),
    heightMm: 2,
    leastWallMm: skinMm + clearanceMm + LEAST_LAP_MM + SPARE_MM,
  };
}

/** A lap and its seat. Null where the wall is too thin for it, or falls away under it before it is LEAST_REACH_MM long. Space: worn. */
export function lapSolids(site: KeySite, form: KeyForm, by: KeyBearer): KeySolids | null {
  const side = seenFrom(site, by.carrier);
  const { clearanceMm, skinMm } = form;
  const rough = Math.max(side.receiver.overMm, side.receiver.underMm, side.carrier.overMm, side.carrier.underMm);
  const mostMm = site.wallMm - skinMm - clearanceMm - rough - SPARE_MM;
  if (mostMm < LEAST_LAP_MM) return null;
  const halfMm = site.room.widthMm / 2;
  const lean = leanOf(side.receiver);
  // in the plane; under a wall that falls away deeper at the seam, so that enough is left at the tip
  const deepMm = Math.min(
    mostMm * Math.hypot(1, lean),
    Math.max(form.thickMm * Math.hypot(1, Math.max(0, lean)), LEAST_LAP_MM + Math.max(0, -lean) * form.reachMm),
  );
  const thickMm = deepMm / Math.hypot(1, lean);
  const underside = (a: number, depth: number): number =>
    depth >= 0
      ? topOver(side, a, depth, -deepMm)
      : wallHeight(side.carrier, a, depth) - wallHeight(side.carrier, a, 0) + topOver(side, a, 0, -deepMm);
  const top = (a: number, depth: number): number =>
    underWall(depth < 0 ? side.carrier : side.receiver, a, depth, FLUSH_MM);
  const reachMm = reachOf(form.reachMm, halfMm, (a, depth) => top(a, depth) - underside(a, depth));
  if (reachMm < LEAST_REACH_MM) return null;
  const sheet = { side, halfMm, reachMm, underside, top };
  const contacts = new ContactList();
  seatContacts(contacts, { ...sheet, floorGapMm: clearanceMm, sideGapMm: clearanceMm });
  return {
    key: keyOf('lap', { site, side, form, by }, { reachMm, thickMm, heldBy: 'seat' }),
    carrier: { add: [fieldSlab(side.frame, lapRows(sheet))], cut: [] },
    receiver: {
      add: [],
      cut: [seatSlab(side, { hand: 1, halfMm, reachMm, clearanceMm, underMm: clearanceMm, underside })],
    },
    loose: null,
    contacts: contacts.contacts(),
  };
}

/** As long as it is thick enough at its tip. */
function reachOf(most: number, halfMm: number, thickAt: (a: number, depth: number) => number): number {
  let reach = most;
  const thin = () => [-halfMm, 0, halfMm].some((a) => thickAt(a, reach) - LEAD_MM < LEAST_TIP_MM);
  while (reach > 0 && thin()) reach -= 0.5;
  return reach;
}

const LEAST_TIP_MM = 0.8;

interface LapSheet {
  readonly side: SideOfSite;
  readonly halfMm: number;
  readonly reachMm: number;
  readonly underside: (a: number, depth: number) => number;
  readonly top: (a: number, depth: number) => number;
}

function lapRows({ side, halfMm, reachMm, underside, top }: LapSheet) {
  const depths = [...evenly(-ROOT_MM, reachMm - TAPER_MM, SHEET_STEP_MM), reachMm];
  return depths.map((depth) => {
    const lead = depth === reachMm ? LEAD_MM : 0;
    return evenly(-halfMm, halfMm, SHEET_STEP_MM).map((a) =>
      slabPoint(side, a * (1 - lead / halfMm), depth, { low: underside(a, depth) + lead, high: top(a, depth) }),
    );
  });
}
