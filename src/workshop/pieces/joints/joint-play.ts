// How crooked a joint can be glued: the largest step at the outer edge of its seam that the gaps of its keys allow.
import { type Contacts, playOf, type WatchedEdge } from '../../../geometry/contact-play.ts';
import { type JointPlay, LOOSE_MM } from '../../process/joints-record.ts';
import type { KeySolids } from './key-solids.ts';
import { type SeamSection, SIDE_OUTER } from './seam-section.ts';

/** A mating face with its keys. */
export interface KeyedSeam {
  readonly section: SeamSection;
  readonly keys: readonly KeySolids[];
}

/** Misfit across the wall along the outer edge of `section`, its mating faces pressed together, as drawn and with every face
 *  `toleranceMm` off the worse way. Null without keys. Model space, worn.
 *  `closing`: the seam itself, with any that close at the same time: stiff pieces or groups of pieces, so keys of one lead the others too.
 *  All lie in one plane.
 *  A contact is between two printed faces, each of which may stand back by the tolerance: its gap grows by twice that. A loose part (strip,
 *  rod, magnet in both) stands in two seats, and its contacts with one of them count for both: twice the gap, four faces.
 *  Cost: two linear programs of 3 variables for each end of an outer side that may be the worst, twice; once without tolerance. Method: docs/methods/joint-play.md. */
export function jointPlay(
  closing: readonly KeyedSeam[],
  section: SeamSection,
  options: { readonly toleranceMm: number },
): JointPlay | null {
  const keys = closing.flatMap(keysAsUpper);
  if (keys.length === 0) return null;
  const edge = outerEdge(section);
  const drawn = playOf(contactsOf(keys, 0), edge, { pressed: section.n });
  const printed =
    options.toleranceMm === 0 ? drawn : playOf(contactsOf(keys, options.toleranceMm), edge, { pressed: section.n });
  return {
    nominalMm: Math.min(drawn.misfitMm, LOOSE_MM),
    printedMm: Math.min(printed.misfitMm, LOOSE_MM),
    atMm: printed.atMm,
    held: drawn.held,
  };
}

/** As if the second piece of the seam moved and the first stayed: where the first carries the key, it goes against the normal. */
function keysAsUpper({ keys, section: { seam } }: KeyedSeam): readonly (KeySolids & { readonly sign: 1 | -1 })[] {
  return keys.map((key) => ({ ...key, sign: key.key.carrier === seam.pieces[1] ? 1 : -1 }));
}

function contactsOf(keys: ReturnType<typeof keysAsUpper>, toleranceMm: number): Contacts {
  const num = keys.reduce((sum, { contacts }) => sum + contacts.gapMm.length, 0);
  const points = new Float64Array(num * 3);
  const normals = new Float64Array(num * 3);
  const gapMm = new Float64Array(num);
  let filled = 0;
  for (const { sign, loose, contacts } of keys) {
    const faces = loose === null ? 2 : 4;
    points.set(contacts.points, filled * 3);
    for (let i = 0; i < contacts.normals.length; i++) normals[filled * 3 + i] = sign * contacts.normals[i]!;
    for (let i = 0; i < contacts.gapMm.length; i++)
      gapMm[filled + i] = Math.max(0, contacts.gapMm[i]!) + faces * toleranceMm;
    filled += contacts.gapMm.length;
  }
  return { points, normals, gapMm };
}

/** Both ends of every side on the outside, each with the direction across the wall there: between them a misfit is never larger. Where a
 *  face has no side outside, all of its sides are looked at. */
function outerEdge({ loops, u, v }: SeamSection): WatchedEdge {
  const watched = [true, false].map((onlyOuter) => {
    const points: number[] = [];
    const directions: number[] = [];
    for (const { points: p, flat, sides } of loops) {
      const num = sides.length;
      for (let i = 0; i < num; i++) {
        if (onlyOuter && sides[i] !== SIDE_OUTER) continue;
        const next = (i + 1) % num;
        const [dx, dy] = [flat[next * 2]! - flat[i * 2]!, flat[next * 2 + 1]! - flat[i * 2 + 1]!];
        const length = Math.hypot(dx, dy);
        if (length === 0) continue;
        for (const end of [i, next]) {
          for (let c = 0; c < 3; c++) {
            points.push(p[end * 3 + c]!);
            directions.push((dx * v[c]! - dy * u[c]!) / length);
          }
        }
      }
    }
    return { points: Float64Array.from(points), directions: Float64Array.from(directions) };
  });
  return watched.find(({ points }) => points.length > 0) ?? watched[1]!;
}
