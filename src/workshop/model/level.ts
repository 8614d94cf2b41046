// Which way is up, which way is front: sets a shell upright in model space, and says how sure that is.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Gap, Hollow } from '../../geometry/hollow.ts';
import type { MirrorPlane, Symmetry } from '../../geometry/symmetry-plane.ts';
import { angleDeg, cross, dot, minus, plus, scaled, unit, within } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Confidence } from '../process/model-record.ts';
import { type Face, findFace } from './face.ts';
import type { NeckLikeness } from './rim.ts';

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
  readonly face: Face | null;
}

/** What the maker says, in file space; directions of any length. */
export interface LevelWishes {
  readonly up?: Vec3 | null | undefined;
  readonly front?: Vec3 | null | undefined;
  /** Three points that lie level; passed over when up is given. */
  readonly levelPoints?: readonly [Vec3, Vec3, Vec3] | null | undefined;
}

export interface Clues {
  readonly symmetry: Symmetry;
  readonly hollow: Hollow | null;
  /** The openings large enough for a neck, the likeliest first. */
  readonly necks: readonly NeckLikeness[];
  /** For a body without a hollow: directions that it can stand upright in, best first. */
  readonly standing: readonly Vec3[];
}

/** Limits of the judgement. Measured on the models of test/property/levelling.test.ts; docs/methods/levelling.md says how. */
export const LEVEL_LIMITS = {
  /** A neck opening seen from the middle of the hollow takes this share of all directions; more is a bowl or a mask. */
  neckShare: [0.05, 0.36],
  /** An eye or face opening takes this share. */
  frontShare: [0.006, 0.2],
  /** A neck opening is at least so much like one (rim.ts), and the next likely one has no more than a third of that. */
  neckLikeness: 0.25,
  /** What the face has to say about up, beside the neck with its likeness. */
  faceWeight: 0.15,
  /** Openings whose direction leans out of the mirror plane by more than this are not the neck or the face. */
  leanDeg: 9,
  /** The face opening stands at such an angle to up. */
  frontFromUpDeg: [55, 125],
  /** A mirrored copy that lies farther off than this share of the size, over a twentieth of the surface, is hardly its like. */
  mirrorOffShare: 0.03,
  /** The file's own axis is taken for up when the mirror plane is the file's own to this angle ... */
  fileAxisDeg: 1,
  /** ... and the axis is no farther from the up that was found. */
  snapDeg: 25,
} as const;

/** The two directions of a shell. Wishes are kept exactly and called 'given'. Refuses LEVEL_CONTRADICTS when up and front are
 *  wished the same way or the three points lie on one line. Space: file. Cost: next to nothing, the clues hold the work.
 *  Method: docs/methods/levelling.md. Weak: a shell without a face opening has no front but a guess. */
export function findLevel(clues: Clues, wishes: LevelWishes): Outcome<Levelling> {
  const neck = clues.necks[0] ?? null;
  const mirror = chooseMirror(clues, neck?.gap ?? null);
  const face = neck === null ? null : findFace(clues.hollow?.gaps ?? [], neck.gap, mirror?.plane.normal ?? null);
  const found = neck === null ? fromStanding(clues, mirror) : fromOpenings(clues.necks, face, mirror);
  const wished = wishedUp(wishes, found.up.way);
  const wishedFront = wishes.front ? unit(wishes.front) : null;
  if (wished === 'in line')
    return refuse('LEVEL_CONTRADICTS', 'The three points that lie level are on one line, so they tell no level.', {
      where: { path: 'model.level.levelPoints' },
    });
  if (wished !== null && wishedFront !== null && Math.abs(dot(wished.way, wishedFront)) > 0.999)
    return refuse('LEVEL_CONTRADICTS', 'The directions given for up and front lie on one line.');
  const up = wished ?? squareTo(wishedFront, found.up);
  const front = squareTo(up.way, wishedFront === null ? found.front : given(wishedFront));
  const mirrorConfidence = howSureMirror(mirror, clues.symmetry, face);
  return done({ up, front, mirror, mirrorConfidence, neck: neck?.gap ?? null, face });
}

/** Of several mirror planes the one that the neck and the face lie in. A body that is round has none. */
function chooseMirror({ symmetry, hollow }: Clues, neck: Gap | null): MirrorPlane | null {
  if (symmetry.ambiguous) return null;
  let best: MirrorPlane | null = null;
  let most = -Infinity;
  for (const each of symmetry.planes) {
    const n = each.plane.normal;
    const lean = neck === null ? 0 : Math.abs(dot(n, neck.outward));
    const face = neck === null ? null : findFace(hollow?.gaps ?? [], neck, n);
    const worth = each.score - 0.6 * lean + (face === null ? 0 : 0.3 * Math.min(1, face.share / 0.02));
    if (worth > most) {
      most = worth;
      best = each;
    }
  }
  return best;
}

/** Of several planes that mirror about as well, only the face tells which one parts left from right. */
function howSureMirror(mirror: MirrorPlane | null, symmetry: Symmetry, face: Face | null): Confidence {
  if (mirror === null) return 'unsure';
  const rivals = symmetry.planes.filter((each) => each.score > mirror.score - 0.1).length;
  if (rivals > 1 && face === null) return 'unsure';
  if (mirror.p95Mm > LEVEL_LIMITS.mirrorOffShare * symmetry.spanMm) return 'unsure';
  if (mirror.score > 0.9) return 'sure';
  return mirror.score > 0.7 ? 'likely' : 'unsure';
}

interface Found {
  readonly up: Way;
  readonly front: Way;
}

function fromOpenings(necks: readonly NeckLikeness[], face: Face | null, mirror: MirrorPlane | null): Found {
  const neck = necks[0]!;
  const n = mirror?.plane.normal ?? null;
  const flat = (v: Vec3): Vec3 => (n === null ? unit(v) : unit(within(n, v)));
  const up = flat(upOf(neck, face));
  const snapped = n === null ? null : fileAxisNear(n, up);
  const way = snapped ?? up;
  const confidence = howSure(necks, face, mirror, way);
  const because =
    snapped === null ? 'opposite the neck opening' : "opposite the neck opening, along the file's own axis";
  if (face === null) {
    const guess = n === null ? anySquare(way) : unit(cross(n, way));
    return { up: { way, confidence, because }, front: { way: guess, confidence: 'unsure', because: NO_FACE } };
  }
  return {
    up: { way, confidence, because },
    front: { way: squareFront(flat(face.outward), way, snapped), confidence, because: 'where the face opening looks' },
  };
}

const NO_FACE = 'by no more than the mirror plane, for want of a face opening';

/** Against the neck opening and its rim, and square to where the face looks, each as far as it can be trusted. */
function upOf(neck: NeckLikeness, face: Face | null): Vec3 {
  const byNeck = unit(scaled(plus(neck.gap.outward, neck.normal), -1));
  if (face === null) return byNeck;
  const byFace = unit(within(face.outward, byNeck));
  return unit(plus(scaled(byNeck, neck.likeness), scaled(byFace, LEVEL_LIMITS.faceWeight)));
}

/** Sure only when everything speaks for a helmet: openings of the right size, in the mirror plane, square to each other. */
function howSure(necks: readonly NeckLikeness[], face: Face | null, mirror: MirrorPlane | null, up: Vec3): Confidence {
  if (mirror === null || face === null || mirror.score < 0.6) return 'unsure';
  const [neck, rival] = necks as readonly [NeckLikeness, ...NeckLikeness[]];
  if (neck.likeness < LEVEL_LIMITS.neckLikeness || (rival?.likeness ?? 0) > neck.likeness / 3) return 'unsure';
  if (!isWithin(neck.gap.share, LEVEL_LIMITS.neckShare) || !isWithin(face.share, LEVEL_LIMITS.frontShare))
    return 'unsure';
  const n = mirror.plane.normal;
  const leanLimit = Math.sin((LEVEL_LIMITS.leanDeg * Math.PI) / 180);
  if (Math.abs(dot(n, neck.gap.outward)) > leanLimit || Math.abs(dot(n, face.outward)) > leanLimit) return 'unsure';
  if (!isWithin(angleDeg(face.outward, up), LEVEL_LIMITS.frontFromUpDeg)) return 'unsure';
  return mirror.score > 0.85 && fileAxisNear(n, up) !== null ? 'sure' : 'likely';
}

function isWithin(v: number, [low, high]: readonly [number, number]): boolean {
  return v >= low && v <= high;
}

/** Square to up; along the axis of the file when up is. */
function squareFront(front: Vec3, up: Vec3, snapped: Vec3 | null): Vec3 {
  const square = unit(within(up, front));
  return snapped === null ? square : nearestAxis(square).axis;
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
  const n = mirror?.plane.normal ?? null;
  const stood = clues.standing[0] ?? [0, 0, 1];
  const way = n !== null && Math.abs(dot(n, stood)) < 0.15 ? unit(within(n, stood)) : stood;
  const because = 'by how it would stand, for want of a hollow with a neck opening';
  const guess = n === null ? anySquare(way) : unit(cross(n, way));
  return { up: { way, confidence: 'unsure', because }, front: { way: guess, confidence: 'unsure', because: NO_FACE } };
}

/** Points are given in no order, so the side they mean is the one that was found. */
function wishedUp({ up, levelPoints }: LevelWishes, found: Vec3): Way | 'in line' | null {
  if (up) return given(unit(up));
  if (!levelPoints) return null;
  const [a, b, c] = levelPoints;
  const across = cross(minus(b, a), minus(c, a));
  const longest = Math.max(Math.hypot(...minus(b, a)), Math.hypot(...minus(c, a)), Math.hypot(...minus(c, b)));
  if (!(Math.hypot(...across) > 1e-3 * longest * longest)) return 'in line';
  const normal = unit(across);
  const way = dot(normal, found) < 0 ? scaled(normal, -1) : normal;
  return { way, confidence: 'given', because: 'square to the three points you set level' };
}

function given(way: Vec3): Way {
  return { way, confidence: 'given', because: 'as you set it' };
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
