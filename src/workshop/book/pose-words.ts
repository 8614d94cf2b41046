// What a way to lie is called at the bench, with the helm standing in front.
import { dot } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Seam } from '../process/pieces-record.ts';
import type { LyingPose } from '../process/printing-record.ts';
import { wayWords } from './way-words.ts';

/** By which side of the helm is up, model space: X to the wearer's left, Y to the back. */
const SIDES: readonly { readonly up: Vec3; readonly words: string }[] = [
  { up: [0, 0, 1], words: 'upright' },
  { up: [0, 0, -1], words: 'upside down' },
  { up: [0, 1, 0], words: 'face down' },
  { up: [0, -1, 0], words: 'on its back' },
  { up: [1, 0, 0], words: 'on its right side' },
  { up: [-1, 0, 0], words: 'on its left side' },
];

/** Leans less than this are not told, degrees. */
const STRAIGHT_DEG = 2;
/** As a cosine: a mating face this near the bed is the one it lies on, 1 degree. */
const ON_FACE = 0.99985;

/** "on its face to B", "upright", "upside down, tipped 30° to the back and left"; left and right are the wearer’s. */
export function poseWords(piece: string, { up, lies }: Pick<LyingPose, 'up' | 'lies'>, seams: readonly Seam[]): string {
  if (lies === 'mating face') {
    const other = facingDown(piece, up, seams);
    return other === null ? 'on its mating face' : `on its face to ${other}`;
  }
  const side = SIDES.reduce((best, one) => (dot(one.up, up) > dot(best.up, up) ? one : best));
  const along = dot(side.up, up);
  const deg = (Math.acos(Math.min(1, along)) * 180) / Math.PI;
  if (deg < STRAIGHT_DEG) return side.words;
  const lean: Vec3 = [up[0] - along * side.up[0], up[1] - along * side.up[1], up[2] - along * side.up[2]];
  const length = Math.hypot(...lean);
  const way = wayWords([lean[0] / length, lean[1] / length, lean[2] / length]);
  return `${side.words}, tipped ${deg.toFixed(0)}° ${shortened(way)}`;
}

function facingDown(piece: string, up: Vec3, seams: readonly Seam[]): string | null {
  for (const { pieces, plane } of seams) {
    if (!pieces.includes(piece)) continue;
    const out = pieces[0] === piece ? 1 : -1;
    if (-out * dot(plane.normal, up) > ON_FACE) return pieces[0] === piece ? pieces[1] : pieces[0];
  }
  return null;
}

/** "to the back and to the wearer’s left" is "to the back and left". */
function shortened(way: string): string {
  return way.replaceAll('wearer’s ', '').replace(' and to the ', ' and ');
}
