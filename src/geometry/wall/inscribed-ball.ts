// The largest ball inside the solid that touches the surface at a given point: its diameter is the wall there.
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoints } from '../../mesh/closest-point.ts';

export const BALL_DEFAULTS = {
  /** A ball is done when nothing reaches deeper into it than this share of its radius. */
  precision: 5e-4,
  rounds: 40,
  /** A ball whose touching points, seen from its middle, lie nearer together than this sits in a corner and is let out of it. */
  cornerDeg: 100,
  /** How far from the point the middle of a ball let out of a corner may be, in radii: just over sqrt(3), a corner of three walls. */
  reach: 1.75,
  /** Steps out of a corner. */
  steps: 8,
} as const;

/** Numbers and room for one search at a time; one per tree. */
export interface BallSearch {
  readonly tree: BoundingTree;
  /** No ball in the solid is larger, mm: half the smallest side of its box. */
  readonly mostMm: number;
  readonly middle: Float64Array;
  readonly found: { readonly tri: Int32Array; readonly distanceMm: Float64Array; readonly atMm: Float64Array };
  readonly limit: { withinMm: number };
  /** What last reached into a ball. */
  readonly stopper: Float64Array;
  /** Touching points, 3 x 3, newest last. */
  readonly touch: Float64Array;
  numTouch: number;
}

export function ballSearch(tree: BoundingTree, mostMm: number): BallSearch {
  return {
    tree,
    mostMm,
    middle: new Float64Array(3),
    found: { tri: new Int32Array(1), distanceMm: new Float64Array(1), atMm: new Float64Array(3) },
    limit: { withinMm: 0 },
    stopper: new Float64Array(3),
    touch: new Float64Array(9),
    numTouch: 0,
  };
}

/** Radius of the ball that touches the surface at a point, is tangent there, and holds nothing; it begins with radius `startMm`,
 *  which must not be too small, and shrinks. at: 6 numbers, the point and the unit normal into the solid. Leaves middle and touching
 *  points (the point itself first) in the search. Cost: 2 to 6 closest points.
 *  Method: shrinking ball, Ma, Bae and Choi 2012; docs/methods/wall-thickness.md. Weak: beside a convex edge the ball is small
 *  however thick the part is: `ballOutOfCorner`. */
export function touchingBall(search: BallSearch, at: Float64Array, startMm: number): number {
  const { middle, touch, stopper } = search;
  let radius = Math.min(startMm, search.mostMm);
  for (let c = 0; c < 3; c++) touch[c] = at[c]!;
  search.numTouch = 1;
  for (let round = 0; round <= BALL_DEFAULTS.rounds; round++) {
    for (let c = 0; c < 3; c++) middle[c] = at[c]! + radius * at[3 + c]!;
    if (round === BALL_DEFAULTS.rounds || !reaches(search, radius)) break;
    const x = stopper[0]! - at[0]!;
    const y = stopper[1]! - at[1]!;
    const z = stopper[2]! - at[2]!;
    const depth = x * at[3]! + y * at[4]! + z * at[5]!;
    const next = (x * x + y * y + z * z) / (2 * depth);
    if (!(next > 0 && next < radius)) break;
    radius = next;
    touch.set(stopper, 3);
    search.numTouch = 2;
  }
  return radius;
}

/** Whether the surface reaches into the ball about the search's middle; `stopper` then is where it does most. */
function reaches({ tree, middle, found, limit, stopper }: BallSearch, radius: number): boolean {
  limit.withinMm = radius * (1 - BALL_DEFAULTS.precision);
  closestPoints(tree, middle, found, limit);
  if (found.distanceMm[0] === Infinity) return false;
  stopper.set(found.atMm);
  return true;
}

const CORNER_COSINE = Math.cos((BALL_DEFAULTS.cornerDeg * Math.PI) / 180);

/** Radius of the ball after letting it out of the corner it sits in; `radius` and the search as `touchingBall` left them. Touching points
 *  on two sides of it (more than `cornerDeg` apart, seen from its middle) are a wall, and the ball stays. Otherwise it moves away
 *  from all its touching points alike and grows, keeping their tangent planes tangent, until it meets the next; it goes no farther
 *  from the point than `reach` radii. Cost: nothing for a wall, some 5 to 15 closest points in a corner.
 *  Method: local thickness is the largest ball holding the point (Hildebrand and Rueegsegger 1997), here found by climbing. */
export function ballOutOfCorner(search: BallSearch, at: Float64Array, radius: number): number {
  const way = new Float64Array(4);
  let held = radius;
  for (let step = 0; step < BALL_DEFAULTS.steps; step++) {
    if (search.numTouch < 2 || !(held > 0) || isBetweenWalls(search, held) || !wayOut(search, held, way)) break;
    const grown = climb(search, at, held, way);
    if (grown < held * (1 + 1e-9) && step > 3) break;
    held = grown;
  }
  return held;
}

function isBetweenWalls({ middle, touch, numTouch }: BallSearch, radius: number): boolean {
  for (let i = 0; i < numTouch; i++) {
    for (let j = 0; j < i; j++) {
      let sum = 0;
      for (let c = 0; c < 3; c++) sum += (touch[i * 3 + c]! - middle[c]!) * (touch[j * 3 + c]! - middle[c]!);
      if (sum < CORNER_COSINE * radius * radius) return true;
    }
  }
  return false;
}

/** way: the unit direction away from all touching points alike, and how much the ball grows per mm of it. False when there is none. */
function wayOut({ middle, touch, numTouch }: BallSearch, radius: number, way: Float64Array): boolean {
  const from = (i: number, c: number): number => (middle[c]! - touch[i * 3 + c]!) / radius;
  for (let c = 0; c < 3; c++) {
    if (numTouch === 2) {
      way[c] = from(0, c) + from(1, c);
      continue;
    }
    // normal of the plane through the ends of the three unit vectors
    const [u, v] = [(c + 1) % 3, (c + 2) % 3];
    way[c] =
      (from(1, u) - from(0, u)) * (from(2, v) - from(0, v)) - (from(1, v) - from(0, v)) * (from(2, u) - from(0, u));
  }
  const length = Math.sqrt(way[0]! * way[0]! + way[1]! * way[1]! + way[2]! * way[2]!);
  if (!(length > 1e-9)) return false;
  for (let c = 0; c < 3; c++) way[c] = way[c]! / length;
  let grows = way[0]! * from(0, 0) + way[1]! * from(0, 1) + way[2]! * from(0, 2);
  if (grows < 0) {
    grows = -grows;
    for (let c = 0; c < 3; c++) way[c] = -way[c]!;
  }
  way[3] = Math.min(1, grows);
  return grows > 0.05;
}

/** Moves the middle along the way as far as the growing ball stays empty and within reach; takes up what stopped it. Each trial ball
 *  holds the middle of the last free one, so that a ball beyond a thin wall is never taken for one inside. */
function climb(search: BallSearch, at: Float64Array, radius: number, way: Float64Array): number {
  const { middle, stopper } = search;
  const start = middle.slice();
  const grows = way[3]!;
  const end = Math.min((search.mostMm - radius) / grows, farthest(at, start, way, radius));
  let free = 0;
  for (let round = 0; round < BALL_DEFAULTS.rounds && free < end; round++) {
    let along = Math.min(end, free + (HOLD_SHARE * (radius + free * grows)) / (1 - grows + 1e-9));
    let isBlocked = false;
    for (let trial = 0; trial < BALL_DEFAULTS.rounds; trial++) {
      for (let c = 0; c < 3; c++) middle[c] = start[c]! + along * way[c]!;
      if (!reaches(search, radius + along * grows)) break;
      const stop = stopAt(start, stopper, way, radius);
      isBlocked = true;
      if (!(stop < along)) break;
      along = Math.max(0, stop);
    }
    free = along;
    if (!isBlocked) continue;
    takeUp(search);
    break;
  }
  for (let c = 0; c < 3; c++) middle[c] = start[c]! + free * way[c]!;
  return radius + free * grows;
}

const HOLD_SHARE = 0.98;

/** Where |start + s way - point| = reach * (radius + s grows), s >= 0; Infinity when the ball never gets so far. */
function farthest(at: Float64Array, start: Float64Array, way: Float64Array, radius: number): number {
  const { reach } = BALL_DEFAULTS;
  let [away, along] = [0, 0];
  for (let c = 0; c < 3; c++) {
    away += (start[c]! - at[c]!) ** 2;
    along += (start[c]! - at[c]!) * way[c]!;
  }
  const a = 1 - (reach * way[3]!) ** 2;
  const b = along - reach * reach * radius * way[3]!;
  const c = away - (reach * radius) ** 2;
  if (c >= 0) return 0;
  const root = b * b - a * c;
  if (root < 0) return Infinity;
  const s = -c / (b + Math.sqrt(root));
  return s > 0 ? s : Infinity;
}

/** Where the growing ball first touches a point outside its beginning. */
function stopAt(start: Float64Array, point: Float64Array, way: Float64Array, radius: number): number {
  let [away, along] = [0, 0];
  for (let c = 0; c < 3; c++) {
    away += (point[c]! - start[c]!) ** 2;
    along += (point[c]! - start[c]!) * way[c]!;
  }
  const a = 1 - way[3]! * way[3]!;
  const b = along + radius * way[3]!;
  const c = away - radius * radius;
  if (c <= 0) return 0;
  const root = b * b - a * c;
  return root < 0 ? Infinity : c / (b + Math.sqrt(root));
}

/** Adds what was found to the touching points; the oldest but the first goes when there are three. */
function takeUp(search: BallSearch): void {
  const { touch, stopper } = search;
  if (search.numTouch === 3) touch.copyWithin(3, 6, 9);
  else search.numTouch++;
  touch.set(stopper, (search.numTouch - 1) * 3);
}
