// Where a lap or a strip meets its seat in the receiver: its floor and its two sides.
import { unit } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import type { ContactList } from './contact-list.ts';
import { evenly } from './field-slab.ts';
import { inSpace } from './inner-lines.ts';
import { wallSlope } from './key-field.ts';
import { EDGE_MM, TAPER_MM } from './key-form.ts';
import { intoAt, SHEET_STEP_MM } from './key-sheets.ts';
import type { SideOfSite } from './key-site.ts';

export interface InSeat {
  readonly side: SideOfSite;
  readonly halfMm: number;
  readonly reachMm: number;
  readonly floorGapMm: number;
  readonly sideGapMm: number;
  /** Over along and depth. */
  readonly underside: (a: number, depth: number) => number;
  readonly top: (a: number, depth: number) => number;
}

export function seatContacts(contacts: ContactList, seated: InSeat): void {
  const { side, halfMm, reachMm, floorGapMm, sideGapMm, underside, top } = seated;
  const { along, into, inward } = side.frame;
  const place = (a: number, depth: number, h: number) => inSpace(side.frame, a, intoAt(side, a, depth), h);
  for (const depth of evenly(0, reachMm - TAPER_MM, SHEET_STEP_MM)) {
    for (const a of evenly(-halfMm, halfMm, SHEET_STEP_MM)) {
      const [ga] = wallSlope(side.receiver, side.edge, a, depth);
      const before = Math.max(0, depth - SHEET_STEP_MM / 2);
      const gs = (underside(a, before + SHEET_STEP_MM) - underside(a, before)) / SHEET_STEP_MM;
      const down = unit([0, 1, 2].map((c) => ga * along[c]! + gs * into[c]! - inward[c]!) as unknown as Vec3);
      contacts.add(place(a, depth, underside(a, depth)), down, floorGapMm);
    }
    if (depth < SHEET_STEP_MM) continue;
    for (const hand of [-1, 1]) {
      const a = hand * halfMm;
      const out: Vec3 = [along[0] * hand, along[1] * hand, along[2] * hand];
      const [from, to] = [underside(a, depth) + EDGE_MM, top(a, depth) - EDGE_MM];
      if (to > from) for (const h of [from, to]) contacts.add(place(a, depth, h), out, sideGapMm);
    }
  }
}
