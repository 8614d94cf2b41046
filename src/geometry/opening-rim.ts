// Once round the edge of an opening, as it is seen from the hollow: the line itself and its length.
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import type { Vec3 } from '../mesh/mesh.ts';
import { raycastMany } from '../mesh/ray.ts';
import type { Gap } from './hollow.ts';
import { planeFrame } from './plane.ts';

export interface OpeningRim {
  /** n x 3: the edge in order, a closed line, mm; empty when no edge was found. */
  readonly line: Float64Array;
  readonly lengthMm: number;
}

export const RIM_DEFAULTS = {
  /** Directions along each side of the square of directions about the opening. */
  side: 72,
  /** The square reaches past the rim as the hollow knows it by this factor. */
  margin: 1.1,
  /** Halvings between a free direction and a blocked one: the edge to a 4,000th of the step. */
  halvings: 12,
} as const;

/** The edge of one gap of a hollow (`findHollow`), traced between directions that are free and directions that meet the surface, seen from
 *  the middle of the hollow; each point lies on the surface. Where rim and view do not run along each other this is the edge that
 *  stands in the view: the inner one of a flat rim. Space: that of the mesh. Cost: some 9,000 rays, 30 to 60 ms a gap.
 *  Method: docs/methods/openings.md. Weak: parts that hang into the view from elsewhere (a brim, a chin) become part of the edge
 *  where they cover it, and the line jumps from one to the other; scallops finer than a 60th of the opening are cut short. */
export function openingRim(tree: BoundingTree, centreMm: Vec3, gap: Gap): OpeningRim {
  const view = viewOf(tree, centreMm, gap);
  const free = castSquare(view);
  const part = groupOf(view, free, gap);
  const line = smoothedLine(edgeLine(view, part));
  return { line, lengthMm: closedLength(line) };
}

/** Directions in a square: the distance from its middle is the angle from the way out, in radians (azimuthal equidistant). */
interface View {
  readonly tree: BoundingTree;
  readonly from: Vec3;
  readonly axis: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  readonly side: number;
  readonly stepRad: number;
  readonly ray: Float64Array;
  readonly out: { readonly tri: Int32Array; readonly t: Float64Array };
}

const FARTHEST_RAD = (175 * Math.PI) / 180;

function viewOf(tree: BoundingTree, from: Vec3, gap: Gap): View {
  const { side, margin } = RIM_DEFAULTS;
  const axis = gap.outward;
  let widest = 0.02;
  for (let i = 0; i < gap.rim.length; i += 3) {
    const d = [0, 1, 2].map((c) => gap.rim[i + c]! - from[c]!);
    const along = (d[0]! * axis[0] + d[1]! * axis[1] + d[2]! * axis[2]) / Math.hypot(d[0]!, d[1]!, d[2]!);
    widest = Math.max(widest, Math.acos(Math.max(-1, Math.min(1, along))));
  }
  const stepRad = (2 * Math.min(FARTHEST_RAD, widest * margin)) / (side - 1);
  const room = { ray: new Float64Array(6), out: { tri: new Int32Array(1), t: new Float64Array(1) } };
  return { tree, from, axis, ...planeFrame(axis), side, stepRad, ...room };
}

/** Distance to the surface in the direction at column i and row j of the square, which need not be whole; Infinity when free. */
function look(view: View, i: number, j: number): number {
  const { ray, out, axis, u, v } = view;
  const x = (i - (view.side - 1) / 2) * view.stepRad;
  const y = (j - (view.side - 1) / 2) * view.stepRad;
  const angle = Math.hypot(x, y);
  const [across, along] = [angle === 0 ? 0 : Math.sin(angle) / angle, Math.cos(angle)];
  for (let c = 0; c < 3; c++) {
    ray[c] = view.from[c]!;
    ray[3 + c] = along * axis[c]! + across * (x * u[c]! + y * v[c]!);
  }
  raycastMany(view.tree, ray, out);
  return out.t[0]!;
}

/** side x side: 1 where nothing is met. The outermost row all round counts as blocked, and so does what lies past 175 degrees. */
function castSquare(view: View): Uint8Array {
  const { side } = view;
  const free = new Uint8Array(side * side);
  for (let j = 1; j < side - 1; j++) {
    for (let i = 1; i < side - 1; i++) {
      const angle = Math.hypot(i - (side - 1) / 2, j - (side - 1) / 2) * view.stepRad;
      if (angle < FARTHEST_RAD && look(view, i, j) === Infinity) free[j * side + i] = 1;
    }
  }
  return free;
}

/** side x side: 1 for the free directions of this gap: of all connected groups the one whose share of the sphere is most like the gap's. */
function groupOf(view: View, free: Uint8Array, gap: Gap): Uint8Array {
  const { side, stepRad } = view;
  const group = new Int32Array(free.length);
  let [best, least, num] = [0, Infinity, 0];
  for (let seed = 0; seed < free.length; seed++) {
    if (free[seed] === 0 || group[seed] !== 0) continue;
    num++;
    group[seed] = num;
    const stack = [seed];
    let share = 0;
    while (stack.length > 0) {
      const cell = stack.pop()!;
      const angle = Math.hypot((cell % side) - (side - 1) / 2, Math.floor(cell / side) - (side - 1) / 2) * stepRad;
      share += ((angle === 0 ? 1 : Math.sin(angle) / angle) * stepRad * stepRad) / (4 * Math.PI);
      for (const next of [cell - 1, cell + 1, cell - side, cell + side]) {
        if (free[next] === 0 || group[next] !== 0) continue;
        group[next] = num;
        stack.push(next);
      }
    }
    const off = Math.abs(share - gap.share);
    if (off < least) [best, least] = [num, off];
  }
  return Uint8Array.from(group, (g) => (g === best && best > 0 ? 1 : 0));
}

/** Walks round the outside of the group, keeping it on the left, and marks the edge between each free direction and the blocked one beside it.
 *  Starts below the lowest row, so that it goes round the outside and not round an island. */
function edgeLine(view: View, part: Uint8Array): number[] {
  const { side } = view;
  const first = part.indexOf(1);
  if (first < 0) return [];
  // standing on `cell`, facing the blocked neighbour `way`: 0 down (j - 1), 1 right, 2 up, 3 left
  const steps = [-side, 1, side, -1] as const;
  const points: number[] = [];
  let [cell, way] = [first, 0];
  for (let guard = 0; guard < 8 * part.length; guard++) {
    addEdgePoint(view, cell, cell + steps[way]!, points);
    const turn = (way + 1) % 4;
    const beside = cell + steps[turn]!;
    const ahead = beside + steps[way]!;
    if (part[beside] === 0) way = turn;
    else if (part[ahead] === 0) cell = beside;
    else [cell, way] = [ahead, (way + 3) % 4];
    if (cell === first && way === 0) break;
  }
  return points;
}

/** The last point met on the way from a blocked direction to a free one. */
function addEdgePoint(view: View, freeCell: number, blockedCell: number, points: number[]): void {
  const { side, ray, from } = view;
  const [fi, fj] = [freeCell % side, Math.floor(freeCell / side)];
  const [di, dj] = [(blockedCell % side) - fi, Math.floor(blockedCell / side) - fj];
  let [low, high] = [0, 1];
  const at = [Number.NaN, 0, 0];
  for (let halving = 0; halving <= RIM_DEFAULTS.halvings; halving++) {
    const middle = halving === 0 ? 1 : (low + high) / 2;
    const t = look(view, fi + middle * di, fj + middle * dj);
    if (t === Infinity) {
      low = middle;
      continue;
    }
    high = middle;
    for (let c = 0; c < 3; c++) at[c] = from[c]! + t * ray[3 + c]!;
  }
  if (!Number.isNaN(at[0])) points.push(...at);
}

/** Round corners of the square two points may be the same; single ones that jump in depth are drawn back between their neighbours. */
function smoothedLine(points: readonly number[]): Float64Array {
  const num = points.length / 3;
  if (num < 5) return Float64Array.from(points);
  const out = new Float64Array(points.length);
  const five = new Float64Array(5);
  for (let i = 0; i < num; i++) {
    for (let c = 0; c < 3; c++) {
      for (let k = 0; k < 5; k++) five[k] = points[((i + k - 2 + num) % num) * 3 + c]!;
      out[i * 3 + c] = five.sort()[2]!;
    }
  }
  return out;
}

function closedLength(line: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < line.length; i += 3) {
    const j = (i + 3) % line.length;
    sum += Math.hypot(line[i]! - line[j]!, line[i + 1]! - line[j + 1]!, line[i + 2]! - line[j + 2]!);
  }
  return sum;
}
