// Tabs: grown on one wall's inside, lying inside against the other wall, between two stops or in a pocket.
import { closestPoint } from '../../../mesh/closest-point.ts';
import { ContactList } from './contact-list.ts';
import { evenly, fieldSlab, type SlabPoint } from './field-slab.ts';
import { inSpace } from './inner-lines.ts';
import { type KeyBearer, type KeyForm, keyOf, LEAD_MM, TAPER_MM } from './key-form.ts';
import type { GroundPiece, KeyGround } from './key-ground.ts';
import {
  intoAt,
  leanOf,
  rampOver,
  ridingColumn,
  SHEET_STEP_MM,
  SINK_MM,
  slabPoint,
  underWall,
  wallHeight,
} from './key-sheets.ts';
import type { KeySite } from './key-site.ts';
import type { KeySolids } from './key-solids.ts';
import { drawTab, MOST_RISE, type TabDrawing, topAt } from './tab-drawing.ts';
import { pocketOf, stopsOf } from './tab-holders.ts';

/** From the wall's edge back to where a tab is one with its wall. */
const RELIEF_MM = 0.35;

/** A tab and what holds it. Null where nothing on the receiver could hold it: a wall that falls away too fast for stops, or rises too fast for lips that
 *  grow at 45 degrees. carrier: 0 the lower piece, 1 the upper.
 *  Clear of the receiver by the clearance or more, everywhere and on the whole way in; drawn on a grid of 1 mm. Cost: some ms. Space: worn. */
export function tabSolids(
  site: KeySite,
  form: KeyForm,
  by: KeyBearer & {
    readonly heldBy: 'stops' | 'pocket';
    readonly ground: KeyGround;
  },
): KeySolids | null {
  const drawing = drawTab(site, form, by);
  const receiver = by.ground.pieces.get(by.pieces[1 - by.carrier]!)!;
  const sheet = undersideClearOf(receiver, drawing);
  const contacts = new ContactList();
  wallContacts(contacts, receiver, drawing, sheet);
  const held = by.heldBy === 'stops' ? stopsOf(drawing, contacts) : pocketOf(drawing, contacts);
  if (held === null) return null;
  const { frame } = drawing.side;
  const drawn = { reachMm: drawing.reachMm, thickMm: form.thickMm, heldBy: by.heldBy };
  return {
    key: keyOf('tab', { site, side: drawing.side, form, by }, drawn),
    carrier: { add: [fieldSlab(frame, [...rootRows(drawing, sheet), ...tongueRows(drawing, sheet)])], cut: [] },
    receiver: { add: held, cut: [] },
    loose: null,
    contacts: contacts.contacts(),
  };
}

/** Places of the underside from the seam's edge to the tip. */
interface Underside {
  readonly depths: readonly number[];
  readonly alongs: readonly number[];
  /** depths x alongs. */
  readonly low: readonly (readonly number[])[];
}

/** Rides over the wall; lifted as a whole where the grid would still come too near. */
function undersideClearOf(receiver: GroundPiece, drawing: TabDrawing): Underside {
  const { side, form, halfMm, reachMm } = drawing;
  const alongs = evenly(-halfMm, halfMm, SHEET_STEP_MM);
  const depths = [...evenly(0, reachMm - TAPER_MM, SHEET_STEP_MM), reachMm];
  const columns = alongs.map((a) => ridingColumn(side, a, depths, form.clearanceMm));
  const low = depths.map((_, j) => alongs.map((_, i) => columns[i]![j]!));
  let least = Infinity;
  depths.forEach((depth, j) => {
    alongs.forEach((a, i) => {
      const place = inSpace(side.frame, a, intoAt(side, a, depth), low[j]![i]!);
      least = Math.min(least, closestPoint(receiver.tree, place, 2 * form.clearanceMm)?.distanceMm ?? Infinity);
    });
  });
  const lift = Math.max(0, form.clearanceMm - least) * MOST_RISE;
  return { depths, alongs, low: low.map((row) => row.map((h) => h + lift)) };
}

/** Beyond the seam: at the tip narrower, and tapered below and above. */
function tongueRows(drawing: TabDrawing, { depths, alongs, low }: Underside): SlabPoint[][] {
  const { side, form, halfMm } = drawing;
  return depths.map((depth, j) => {
    const isTip = j === depths.length - 1;
    const lead = isTip ? LEAD_MM : 0;
    const thinner = isTip ? Math.min(LEAD_MM, form.thickMm / 4) : 0;
    return alongs.map((a, i) => {
      const narrow = a * (1 - lead / halfMm);
      return slabPoint(side, narrow, depth, { low: low[j]![i]! + thinner, high: topAt(drawing, a, depth) - thinner });
    });
  });
}

/** On the carrier: out of its wall by a ramp, flat on, and free of the wall just before the seam. */
function rootRows(drawing: TabDrawing, { alongs, low }: Underside): SlabPoint[][] {
  const { side, form, room, liftMm } = drawing;
  const ramp = rampOver(leanOf(side.carrier));
  const long = Math.max(liftMm, topAt(drawing, 0, 0) - wallHeight(side.carrier, 0, 0)) / ramp;
  const start = -Math.min(room.depthMm - 0.1, Math.max(LEAST_ROOT_MM, ROOT_SHARE * form.reachMm) + long);
  const depths = [...evenly(start, -2 * RELIEF_MM, SHEET_STEP_MM)];
  const rows = depths.map((depth) =>
    alongs.map((a) => {
      const under = underWall(side.carrier, a, depth, SINK_MM);
      const rising = wallHeight(side.carrier, a, depth) - SINK_MM / 2 + ramp * (depth - start);
      return slabPoint(side, a, depth, {
        low: under,
        high: Math.max(under + 0.1, Math.min(topAt(drawing, a, depth), rising)),
      });
    }),
  );
  rows.push(
    alongs.map((a, i) => slabPoint(side, a, -RELIEF_MM, { low: low[0]![i]!, high: topAt(drawing, a, -RELIEF_MM) })),
  );
  return rows;
}

const LEAST_ROOT_MM = 3;
const ROOT_SHARE = 0.6;

/** The wall blocks the tab on its way out of the hollow; each place with the gap that is really there. */
function wallContacts(
  contacts: ContactList,
  receiver: GroundPiece,
  drawing: TabDrawing,
  { depths, alongs, low }: Underside,
): void {
  const { side, form } = drawing;
  for (let j = 0; j + 1 < depths.length; j++) {
    alongs.forEach((a, i) => {
      const place = inSpace(side.frame, a, intoAt(side, a, depths[j]!), low[j]![i]!);
      const near = closestPoint(receiver.tree, place, FELT * form.clearanceMm);
      if (near !== null) contacts.addBetween(place, near.atMm);
    });
  }
}

/** Gaps beyond this many clearances hold nothing. */
const FELT = 3;
