// Places marked in the figure: which piece they go with, and from where they are best seen.
import { Vector3 } from 'three';
import type { FigurePart, FigureShape } from '../api/figure-codec.ts';
import { isClear, type Standing } from './figure-sight.ts';

type Triple = readonly [number, number, number];

export interface ShownMark {
  readonly id: string;
  readonly name: string;
  /** The figure's space, mm. */
  readonly at: Triple;
  /** so: what was done there. care: a finding. yours: a place the maker has pointed at, or an area kept clear. seam: a seam. */
  readonly tone: 'so' | 'care' | 'yours' | 'seam';
  /** Id of the piece it lies on, if that is known. */
  readonly piece?: string;
}

/** Index of the part that a place goes with: the one named, else the one whose surface is nearest; -1 when there are none.
 *  Cost: O(vertices of the coarse level). */
export function partAt({ at, piece }: Pick<ShownMark, 'at' | 'piece'>, parts: readonly FigurePart[]): number {
  const named = piece === undefined ? -1 : parts.findIndex(({ id }) => id === piece);
  if (named >= 0) return named;
  let best = -1;
  let least = Infinity;
  for (const [index, part] of parts.entries()) {
    const { positions: p } = part.coarse ?? part;
    for (let i = 0; i < p.length; i += 3) {
      const away = (p[i]! - at[0]) ** 2 + (p[i + 1]! - at[1]) ** 2 + (p[i + 2]! - at[2]) ** 2;
      if (away < least) {
        least = away;
        best = index;
      }
    }
  }
  return best;
}

/** Unit direction, in the part's own space, in which its surface faces at the place: that of the triangle whose middle is nearest. */
export function facingAt({ positions: p, triangles: t }: FigureShape, at: Triple): Vector3 {
  let least = Infinity;
  let best = 0;
  for (let i = 0; i < t.length; i += 3) {
    let away = 0;
    for (let k = 0; k < 3; k++) {
      const middle = (p[t[i]! * 3 + k]! + p[t[i + 1]! * 3 + k]! + p[t[i + 2]! * 3 + k]!) / 3;
      away += (middle - at[k]!) ** 2;
    }
    if (away < least) {
      least = away;
      best = i;
    }
  }
  const corner = (index: number): Vector3 => new Vector3().fromArray(p, t[best + index]! * 3);
  const a = corner(0);
  return corner(1).sub(a).cross(corner(2).sub(a)).normalize();
}

const LOOKS = 90;

/** The direction from the place towards the reader's eye from which it is seen most squarely, nothing standing before it; the way it
 *  faces when something stands before it from everywhere. Looks from steeply below are left out: nobody holds a helm so. */
export function clearestWay(at: Vector3, facing: Vector3, standing: readonly Standing[], sizeMm: number): Vector3 {
  let best = facing.clone();
  let most = -Infinity;
  for (let i = 0; i <= LOOKS; i++) {
    const way = i === 0 ? facing.clone() : spiral(i - 1);
    if (way.z < -0.75 || way.z > 0.98) continue;
    const square = way.dot(facing);
    if (square <= most || !isClear({ origin: at, way }, standing, sizeMm)) continue;
    most = square;
    best = way;
  }
  return best;
}

function spiral(index: number): Vector3 {
  const z = 1 - (2 * index + 1) / LOOKS;
  const flat = Math.sqrt(1 - z * z);
  const turn = index * 2.399963;
  return new Vector3(flat * Math.cos(turn), flat * Math.sin(turn), z);
}
