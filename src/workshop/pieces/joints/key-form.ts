// What is alike in all keys of one joint, and the shape that tabs, laps and strips have in common.
import type { Key, KeyKind } from '../../process/joints-record.ts';
import type { KeySite, SideOfSite } from './key-site.ts';

/** What all keys of one joint have in common, mm. */
export interface KeyForm {
  readonly reachMm: number;
  readonly thickMm: number;
  readonly clearanceMm: number;
  /** Along the seam, between a tab and what stands beside it; as clearanceMm where it is not given. */
  readonly besideMm?: number;
  readonly skinMm: number;
}

export function besideOf({ besideMm, clearanceMm }: KeyForm): number {
  return besideMm ?? clearanceMm;
}

/** Tips taper over this length, by LEAD_MM on each side and below, so that they find their way in. */
export const TAPER_MM = 1;
export const LEAD_MM = 0.5;
/** Faces are felt so far from their edges, which print round. */
export const EDGE_MM = 0.2;

/** Whose key it is. carrier: 0 for the lower piece of the seam, 1 for the upper. */
export interface KeyBearer {
  readonly carrier: 0 | 1;
  readonly pieces: readonly [string, string];
}

export function keyOf(
  kind: KeyKind,
  of: { readonly site: KeySite; readonly side: SideOfSite; readonly form: KeyForm; readonly by: KeyBearer },
  drawn: Pick<Key, 'reachMm' | 'thickMm' | 'heldBy'>,
): Key {
  const { at, along, into, inward } = of.side.frame;
  return {
    kind,
    carrier: of.by.pieces[of.by.carrier],
    receiver: of.by.pieces[1 - of.by.carrier]!,
    atMm: at,
    along,
    into,
    inward,
    widthMm: of.site.room.widthMm,
    clearanceMm: of.form.clearanceMm,
    ...(kind === 'tab' ? { besideMm: besideOf(of.form) } : {}),
    ...drawn,
  };
}
