// What holds a tab on the other piece: two stops beside it, or a pocket, whose lips lie over its edges too.

import { scaled } from '../../../geometry/three-by-three.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import type { ContactList } from './contact-list.ts';
import { evenly, fieldSlab } from './field-slab.ts';
import { inSpace } from './inner-lines.ts';
import { besideOf, EDGE_MM, TAPER_MM } from './key-form.ts';
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
import { BEYOND_MM, STOP_MM, type TabDrawing, topAt } from './tab-drawing.ts';

/** What stands on a receiver begins so far behind its mating face: clear of what glue squeezes out, and of the bed. */
const BEHIND_FACE_MM = 0.6;
const LIP_MM = 2.5;
const LIP_THICK_MM = 1.8;

/** Two stops: out of the wall by ramps, a little lower than the tab. */
export function stopsOf(drawing: TabDrawing, contacts: ContactList): Mesh[] | null {
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
  const inner = halfMm + besideOf(form);
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
        contacts.add(inSpace(side.frame, a, intoAt(side, a, depth), h), scaled(side.frame.along, hand), besideOf(form));
      }
    }
  }
  return touching > 0 ? solids : null;
}

/** Stops with a lip each over the tab's edge, that grows out of its stop at 45 degrees: nothing of it needs support while the receiver stands on its
 *  mating face. */
export function pocketOf(drawing: TabDrawing, contacts: ContactList): Mesh[] | null {
  const { side, form, room, halfMm, reachMm } = drawing;
  const lipLow = (a: number, depth: number): number => {
    let most = -Infinity;
    for (let d = Math.min(Math.max(0, depth), reachMm); d < reachMm + SHEET_STEP_MM; d += SHEET_STEP_MM)
      most = Math.max(most, topAt(drawing, a, Math.min(d, reachMm)));
    return most + form.clearanceMm;
  };
  const rise = rampOver(leanOf(side.receiver));
  const stopTop = (a: number, depth: number): number =>
    wallHeight(side.receiver, a, depth) - SINK_MM / 2 + rise * (depth - BEHIND_FACE_MM);
  const end = reachMm + BEYOND_MM;
  const hands = ([-1, 1] as const).map((hand) => {
    // from where on the stop is as high as its lip, which grows out of it
    const begin = evenly(BEHIND_FACE_MM, end, BEGIN_STEP_MM).find(
      (depth) => stopTop(hand * halfMm, depth) >= lipLow(hand * halfMm, depth) + SINK_MM / 2,
    );
    return { hand, begin: begin ?? end, lip: Math.min(LIP_MM, end - LEAST_LIP_MM - (begin ?? end)) };
  });
  if (hands.some(({ lip }) => lip < LEAST_LIP_MM)) return null;
  const stopEnd = Math.min(room.depthMm - 0.1, end + BEYOND_MM / 2);
  const solids = sidesOf(drawing, contacts, {
    end: stopEnd,
    high: (a, depth) => Math.min(lipLow(a, depth) + LIP_THICK_MM / 2, stopTop(a, depth)),
  });
  if (solids === null) return null;
  const inner = halfMm + besideOf(form);
  let under = 0;
  for (const { hand, begin, lip } of hands) {
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
      const [first, last] = [begin + inner - a, reachMm - TAPER_MM];
      for (const depth of first <= last ? evenly(first, last, SHEET_STEP_MM) : []) {
        const top = topAt(drawing, a * hand, depth);
        under++;
        const place = inSpace(side.frame, a * hand, intoAt(side, a * hand, depth), top);
        contacts.add(place, side.frame.inward, lipLow(a * hand, depth) - top);
      }
    }
  }
  return under > 0 ? solids : null;
}

const LEAST_LIP_MM = 1;
const BEGIN_STEP_MM = 0.1;
