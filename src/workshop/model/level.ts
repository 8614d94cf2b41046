// Which way is up, which way is front: sets a shell upright in model space, and says how sure that is.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Gap, Hollow } from '../../geometry/hollow.ts';
import type { MirrorPlane, Symmetry } from '../../geometry/symmetry-plane.ts';
import { angleDeg, cross, dot, plus, scaled, unit, within } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Confidence } from '../process/model-record.ts';
import { rimNormal } from './rim.ts';

/** A direction in file space (unit), how sure it is, and why, as the end of "found ...". */
export interface Way {
  readonly way: Vec3;
  readonly confidence: Confidence;
  readonly because: string;
}

export interface Levelling {
  readonly up: Way;
  readonly front: Way;
  /** The plane taken for left and right, if any. */
  readonly mirror: MirrorPlane | null;
  readonly mirrorConfidence: Confidence;
  readonly neck: Gap | null;
  readonly frontGap: Gap | null;
}

export interface LevelWishes {
  readonly up?: Vec3 | undefined;
  readonly front?: Vec3 | undefined;
}

export interface Clues {
  readonly symmetry: Symmetry;
  readonly hollow: Hollow | null;
  /** For a body without a hollow: directions that it can stand upright in, best first. */
  readonly standing: readonly Vec3[];
}

/** Limits of the judgement. Measured on the models of test/property/levelling.test.ts; docs/methods/levelling.md says how. */
export const LEVEL_LIMITS = {
  /** A neck opening seen from the middle of the hollow takes this share of all directions; more is a bowl or a mask. */
  neckShare: [0.05, 0.36],
  /** An eye or face opening takes this share. */
  frontShare: [0.006, 0.2],
  /** Openings whose direction leans out of the mirror plane by more than this are not the neck or the face. */
  leanDeg: 9,
  /** The face opening stands at such an angle to up. */
  frontFromUpDeg: [55, 125],
  /** The file's own axis is taken for up when the mirror plane is the file's own to this angle ... */
  fileAxisDeg: 1,
  /** ... and the axis is no farther from the up that was found. */
  snapDeg: 25,
} as const;

/** The two directions of a shell. Wishes are kept exactly and called 'given'. Refuses LEVEL_CONTRADICTS when up and front are
 *  wished the same way. Space: file. Cost: next to nothing, the clues hold the work.
 *  Method: docs/methods/levelling.md. Weak: a shell without a face opening has no front but a guess. */
export function findLevel(clues: Clues, wishes: LevelWishes): Outcome<Levelling> {
  const wishedUp = wishes.up === undefined ? null : unit(wishes.up);
  const wishedFront = wishes.front === undefined ? null : unit(wishes.front);
  if (wishedUp !== null && wishedFront !== null && Math.abs(dot(wishedUp, wishedFront)) > 0.999) {
    return refuse('LEVEL_CONTRADICTS', 'The directions given for up and front lie on one line.');
  }
  const openings = clues.hollow === null ? NO_OPENINGS : nameOpenings(clues.hollow);
  const mirror = chooseMirror(clues.symmetry, openings);
  const found =
    openings.neck === null ? fromStanding(clues, mirror) : fromOpenings(openings.neck, openings.front, mirror);
  const up = wishedUp === null ? squareTo(wishedFront, found.up) : given(wishedUp);
  const front = squareTo(up.way, wishedFront === null ? found.front : given(wishedFront));
  const mirrorConfidence = howSureMirror(mirror, clues.symmetry, openings);
  return done({ up, front, mirror, mirrorConfidence, neck: openings.neck, frontGap: openings.front });
}

interface NamedOpenings {
  readonly neck: Gap | null;
  readonly front: Gap | null;
}

const NO_OPENINGS: NamedOpenings = { neck: null, front: null };

/** The largest opening is the neck; the largest of those that stand well away from it is the face. */
function nameOpenings(hollow: Hollow): NamedOpenings {
  const neck = hollow.gaps[0] ?? null;
  if (neck === null) return NO_OPENINGS;
  const away = hollow.gaps.find((gap) => gap !== neck && angleDeg(gap.outward, neck.outward) > 40);
  return { neck, front: away !== undefined && away.share >= LEVEL_LIMITS.frontShare[0] / 2 ? away : null };
}

/** Of several mirror planes the one that the openings lie in. A body that is round has none. */
function chooseMirror(symmetry: Symmetry, openings: NamedOpenings): MirrorPlane | null {
  if (symmetry.ambiguous) return null;
  let best: MirrorPlane | null = null;
  let most = -Infinity;
  for (const each of symmetry.planes) {
    const n = each.plane.normal;
    const lean = openings.neck === null ? 0 : Math.abs(dot(n, openings.neck.outward));
    const frontLean = openings.front === null ? 0 : Math.abs(dot(n, openings.front.outward));
    const worth = each.score - 0.6 * lean - 0.4 * frontLean;
    if (worth > most) {
      most = worth;
      best = each;
    }
  }
  return best;
}

/** Of several planes that mirror about as well, only the openings tell which one parts left from right. */
function howSureMirror(mirror: MirrorPlane | null, symmetry: Symmetry, openings: NamedOpenings): Confidence {
  if (mirror === null) return 'unsure';
  const rivals = symmetry.planes.filter((each) => each.score > mirror.score - 0.1).length;
  if (rivals > 1 && (openings.neck === null || openings.front === null)) return 'unsure';
  if (mirror.score > 0.9) return 'sure';
  return mirror.score > 0.7 ? 'likely' : 'unsure';
}

interface Found {
  readonly up: Way;
  readonly front: Way;
}

function fromOpenings(neck: Gap, front: Gap | null, mirror: MirrorPlane | null): Found {
  const n = mirror?.plane.normal ?? null;
  const flat = (v: Vec3): Vec3 => (n === null ? unit(v) : unit(within(n, v)));
  const away = flat(scaled(neck.outward, -1));
  const rim = flat(rimNormal(neck.rim, away));
  const up = unit(plus(away, rim));
  const snapped = n === null ? null : fileAxisNear(n, up);
  const way = snapped ?? up;
  const confidence = howSure(neck, front, mirror, way);
  const because =
    snapped === null ? 'opposite the neck opening' : "opposite the neck opening, along the file's own axis";
  if (front === null) {
    const guess = n === null ? anySquare(way) : unit(cross(n, way));
    return { up: { way, confidence, because }, front: { way: guess, confidence: 'unsure', because: NO_FACE } };
  }
  return {
    up: { way, confidence, because },
    front: { way: flat(front.outward), confidence, because: 'where the second largest opening looks' },
  };
}

const NO_FACE = 'by no more than the mirror plane, for want of a face opening';

/** Sure only when everything speaks for a helmet: openings of the right size, in the mirror plane, square to each other. */
function howSure(neck: Gap, front: Gap | null, mirror: MirrorPlane | null, up: Vec3): Confidence {
  if (mirror === null || front === null || mirror.score < 0.6) return 'unsure';
  const within = (v: number, [low, high]: readonly [number, number]): boolean => v >= low && v <= high;
  const n = mirror.plane.normal;
  const leanLimit = Math.sin((LEVEL_LIMITS.leanDeg * Math.PI) / 180);
  if (!within(neck.share, LEVEL_LIMITS.neckShare) || !within(front.share, LEVEL_LIMITS.frontShare)) return 'unsure';
  if (Math.abs(dot(n, neck.outward)) > leanLimit || Math.abs(dot(n, front.outward)) > leanLimit) return 'unsure';
  if (!within(angleDeg(front.outward, up), LEVEL_LIMITS.frontFromUpDeg)) return 'unsure';
  return mirror.score > 0.85 && fileAxisNear(n, up) !== null ? 'sure' : 'likely';
}

/** The axis of the file that `up` means, when the mirror plane shows that the file was modelled along its axes. */
function fileAxisNear(mirrorNormal: Vec3, up: Vec3): Vec3 | null {
  if (nearestAxis(mirrorNormal).angle > LEVEL_LIMITS.fileAxisDeg) return null;
  const { axis, angle } = nearestAxis(up);
  return angle <= LEVEL_LIMITS.snapDeg ? axis : null;
}

function nearestAxis(v: Vec3): { axis: Vec3; angle: number } {
  const c = [0, 1, 2].reduce((a, b) => (Math.abs(v[b]!) > Math.abs(v[a]!) ? b : a));
  const axis: [number, number, number] = [0, 0, 0];
  axis[c] = v[c]! < 0 ? -1 : 1;
  return { axis, angle: angleDeg(axis, v) };
}

function fromStanding(clues: Clues, mirror: MirrorPlane | null): Found {
  const way = clues.standing[0] ?? [0, 0, 1];
  const n = mirror?.plane.normal ?? null;
  const because = 'by how it would stand, for want of a hollow with a neck opening';
  const guess = n === null ? anySquare(way) : unit(cross(n, way));
  return { up: { way, confidence: 'unsure', because }, front: { way: guess, confidence: 'unsure', because: NO_FACE } };
}

function given(way: Vec3): Way {
  return { way, confidence: 'given', because: 'as given' };
}

/** The same way, turned no more than needed to be square to `other`. */
function squareTo(other: Vec3 | null, it: Way): Way {
  if (other === null) return it;
  const flat = within(other, it.way);
  return { ...it, way: Math.hypot(...flat) > 1e-3 ? unit(flat) : anySquare(other) };
}

/** The direction of a file's usual front (-y, else +z) made square to `up`. */
function anySquare(up: Vec3): Vec3 {
  return unit(within(up, Math.abs(up[1]) < 0.9 ? [0, -1, 0] : [0, 0, 1]));
}
