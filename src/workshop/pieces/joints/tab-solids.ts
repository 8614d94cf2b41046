// Tabs: grown on one wall's inside, lying inside against the other wall, between two stops or in a pocket.
import { closestPoint } from '../../../mesh/closest-point.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import { ContactList } from './contact-list.ts';
import { evenly, fieldSlab, type SlabPoint } from './field-slab.ts';
import { inSpace } from './inner-lines.ts';
import { EDGE_MM, type KeyBearer, type KeyForm, keyOf, LEAD_MM, TAPER_MM } from './key-form.ts';
import type { GroundPiece, KeyGround } from './key-ground.ts';
import {
  leanOf,
  rampOver,
  ridingColumn,
  SHEET_STEP_MM,
  SINK_MM,
  slabPoint,
  topOver,
  underWall,
  wallHeight,
} from './key-sheets.ts';
import { type KeyRoom, type KeySite, type SideOfSite, seenFrom } from './key-sites.ts';
import type { KeySolids } from './key-solids.ts';

/** Along the seam. */
const STOP_MM = 4;
/** What stands on a receiver begins so far behind its mating face: clear of what glue squeezes out, and of the bed. */
const BEHIND_FACE_MM = 0.6;
/** From the wall's edge back to where a tab is one with its wall. */
const RELIEF_MM = 0.35;
const LIP_MM = 2.5;
const LIP_THICK_MM = 1.8;
/** How far a lip and a pocket's stops go on beyond the tip of the tab. */
const BEYOND_MM = 1;
/** A tab that rides over a wall that falls away is no longer than this times the fall. */
const LEAST_REACH_MM = 3;
/** Tall room, for walls that fall away under the tab. */
const HEIGHT_MM = 4.2;

/** The room that a tab of some width needs on both walls, in either form. */
export function tabRoom(widthMm: number, { reachMm, thickMm, clearanceMm, skinMm }: KeyForm): KeyRoom {
  return {
    widthMm,
    halfMm: widthMm / 2 + clearanceMm + STOP_MM,
    depthMm: reachMm + Math.max(thickMm + 0.5, 2 * BEYOND_MM),
    heightMm: 2 * thickMm + HEIGHT_MM,
    leastWallMm: skinMm,
  };
}

interface TabDrawing {
  readonly side: SideOfSite;
  readonly form: KeyForm;
  readonly room: KeyRoom;
  readonly halfMm: number;
  readonly reachMm: number;
  /** From the smooth wall to the top, in the plane. */
  readonly liftMm: number;
}

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
  const drawing = drawTab(site, form, by.carrier);
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

function drawTab(site: KeySite, form: KeyForm, carrier: 0 | 1): TabDrawing {
  const side = seenFrom(site, carrier);
  const lean = leanOf(side.receiver);
  const rise = Math.sqrt(1 + Math.max(0, lean) ** 2);
  const free = site.room.heightMm - form.thickMm - form.clearanceMm - side.receiver.overMm - 0.5;
  const reachMm = lean < 0 ? Math.min(form.reachMm, Math.max(LEAST_REACH_MM, free / -lean)) : form.reachMm;
  // a leaning wall is as thick in the plane as its lean makes it; beyond twice, thinner tabs must do
  const liftMm = side.receiver.overMm + (form.clearanceMm + form.thickMm) * Math.min(rise, MOST_RISE);
  return { side, form, room: site.room, halfMm: site.room.widthMm / 2, reachMm, liftMm };
}

const MOST_RISE = 1.8;

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
      const { s } = slabPoint(side, a, depth, { low: 0, high: 0 });
      const place = inSpace(side.frame, a, s, low[j]![i]!);
      least = Math.min(least, closestPoint(receiver.tree, place, 2 * form.clearanceMm)?.distanceMm ?? Infinity);
    });
  });
  const lift = Math.max(0, form.clearanceMm - least) * MOST_RISE;
  return { depths, alongs, low: low.map((row) => row.map((h) => h + lift)) };
}

function topAt({ side, liftMm }: TabDrawing, a: number, depth: number): number {
  if (depth >= 0) return topOver(side, a, depth, liftMm);
  return wallHeight(side.carrier, a, depth) - wallHeight(side.carrier, a, 0) + topOver(side, a, 0, liftMm);
}

/** Beyond the seam: at the tip narrower, and tapered below and above. */
function tongueRows(drawing: TabDrawing, { depths, alongs, low }: Underside): SlabPoint[][] {
  const { side, halfMm } = drawing;
  return depths.map((depth, j) => {
    const isTip = j === depths.length - 1;
    const lead = isTip ? LEAD_MM : 0;
    return alongs.map((a, i) => {
      const narrow = a * (1 - lead / halfMm);
      const high = topAt(drawing, a, depth) - lead;
      return slabPoint(side, narrow, depth, { low: Math.min(low[j]![i]! + lead, high - LEAST_TIP_MM), high });
    });
  });
}

const LEAST_TIP_MM = 0.8;

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
      const { s } = slabPoint(side, a, depths[j]!, { low: 0, high: 0 });
      const place = inSpace(side.frame, a, s, low[j]![i]!);
      const near = closestPoint(receiver.tree, place, FELT * form.clearanceMm);
      if (near !== null) contacts.addBetween(place, near.atMm);
    });
  }
}

/** Gaps beyond this many clearances hold nothing. */
const FELT = 3;

/** Two stops: out of the wall by ramps, a little lower than the tab. */
function stopsOf(drawing: TabDrawing, contacts: ContactList): Mesh[] | null {
  const { form, room, reachMm } = drawing;
  const lean = leanOf(drawing.side.receiver);
  const tall = topAt(drawing, 0, reachMm) - wallHeight(drawing.side.receiver, 0, reachMm);
  const fade = Math.max(rampOver(-lean), tall / Math.max(1, room.depthMm - 0.1 - reachMm));
  // a short tab has no room for a ramp before it
  const rise = reachMm < form.reachMm * SHORT ? STEEP_RAMP : rampOver(lean);
  const end = Math.min(room.depthMm - 0.1, reachMm + tall / fade);
  return sidesOf(drawing, contacts, {
    end,
    high: (a, depth) => {
      const wall = wallHeight(drawing.side.receiver, a, depth) - SINK_MM / 2;
      return Math.min(
        topAt(drawing, a, depth) - STOP_LOWER * form.thickMm,
        wall + rise * (depth - BEHIND_FACE_MM),
        wall + fade * (end - depth),
      );
    },
  });
}

const SHORT = 0.8;
const STEEP_RAMP = 8;
const STOP_LOWER = 0.2;

interface Sides {
  readonly end: number;
  readonly high: (a: number, depth: number) => number;
}

/** A wall on either side of the tab, from behind the mating face to `end`. Null when they do not reach beside the tab. */
function sidesOf(drawing: TabDrawing, contacts: ContactList, { end, high }: Sides): Mesh[] | null {
  const { side, form, halfMm, reachMm } = drawing;
  const inner = halfMm + form.clearanceMm;
  const depths = evenly(BEHIND_FACE_MM, end, SHEET_STEP_MM);
  const solids = [-1, 1].map((hand) => {
    const alongs = hand < 0 ? evenly(-inner - STOP_MM, -inner, 2) : evenly(inner, inner + STOP_MM, 2);
    const rows = depths.map((depth) =>
      alongs.map((a) => {
        const low = underWall(side.receiver, a, depth, SINK_MM);
        return slabPoint(side, a, depth, { low, high: Math.max(low + 0.1, high(a, depth)) });
      }),
    );
    return fieldSlab(side.frame, rows);
  });
  let touching = 0;
  for (const depth of depths) {
    if (depth > reachMm - TAPER_MM) break;
    for (const hand of [-1, 1]) {
      const a = hand * halfMm;
      const low = ridingColumn(side, a, evenly(0, Math.max(depth, 0.1), SHEET_STEP_MM), form.clearanceMm).at(-1)!;
      const [from, to] = [low + EDGE_MM, Math.min(topAt(drawing, a, depth), high(hand * inner, depth)) - EDGE_MM];
      if (to <= from) continue;
      touching++;
      for (const h of [from, to]) {
        const { s } = slabPoint(side, a, depth, { low: 0, high: 0 });
        contacts.add(inSpace(side.frame, a, s, h), directionOf(side.frame.along, hand), form.clearanceMm);
      }
    }
  }
  return touching > 0 ? solids : null;
}

function directionOf(v: Vec3, sign: number): Vec3 {
  return [v[0] * sign, v[1] * sign, v[2] * sign];
}

/** Stops with a lip each over the tab's edge, that grows out of its stop at 45 degrees: nothing of it needs support while the receiver stands on its
 *  mating face. */
function pocketOf(drawing: TabDrawing, contacts: ContactList): Mesh[] | null {
  const { side, form, room, halfMm, reachMm } = drawing;
  const lipLow = (a: number, depth: number): number => {
    let most = -Infinity;
    for (let d = Math.min(Math.max(0, depth), reachMm); d < reachMm + SHEET_STEP_MM; d += SHEET_STEP_MM)
      most = Math.max(most, topAt(drawing, a, Math.min(d, reachMm)));
    return most + form.clearanceMm;
  };
  const rise = rampOver(leanOf(side.receiver));
  const tall = lipLow(halfMm, BEHIND_FACE_MM) - wallHeight(side.receiver, halfMm, BEHIND_FACE_MM);
  const begin = BEHIND_FACE_MM + (tall + SINK_MM) / rise;
  const end = reachMm + BEYOND_MM;
  const lip = Math.min(LIP_MM, end - LEAST_LIP_MM - begin);
  if (lip < LEAST_LIP_MM) return null;
  const stopEnd = Math.min(room.depthMm - 0.1, end + BEYOND_MM / 2);
  const solids = sidesOf(drawing, contacts, {
    end: stopEnd,
    high: (a, depth) =>
      Math.min(
        lipLow(a, depth) + LIP_THICK_MM / 2,
        wallHeight(side.receiver, a, depth) - SINK_MM / 2 + rise * (depth - BEHIND_FACE_MM),
      ),
  });
  if (solids === null) return null;
  const inner = halfMm + form.clearanceMm;
  let under = 0;
  for (const hand of [-1, 1]) {
    const from = halfMm - lip;
    const to = inner + STOP_MM - 0.5;
    const alongs = [...evenly(from, inner, SHEET_STEP_MM / 2), to].map((a) => a * hand).sort((a, b) => a - b);
    const shares = evenly(0, 1, 1 / Math.ceil((end - begin) / SHEET_STEP_MM));
    const rows = shares.map((share) =>
      alongs.map((a) => {
        const start = begin + Math.max(0, inner - Math.abs(a));
        const depth = start + share * (end - start);
        const low = lipLow(a, depth);
        return slabPoint(side, a, depth, { low, high: low + LIP_THICK_MM });
      }),
    );
    solids.push(fieldSlab(side.frame, rows));
    for (const a of [from + EDGE_MM, halfMm - EDGE_MM]) {
      for (const depth of evenly(begin + inner - a, reachMm - TAPER_MM, SHEET_STEP_MM)) {
        if (depth < begin + inner - a || depth > reachMm - TAPER_MM) continue;
        const { s } = slabPoint(side, a * hand, depth, { low: 0, high: 0 });
        const top = topAt(drawing, a * hand, depth);
        under++;
        contacts.add(inSpace(side.frame, a * hand, s, top), side.frame.inward, lipLow(a * hand, depth) - top);
      }
    }
  }
  return under > 0 ? solids : null;
}

const LEAST_LIP_MM = 1;
