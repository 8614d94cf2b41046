// Where a surface is open, and how fast its winding number can change for that away from its triangles.
import { nextHalfEdge } from '../../../mesh/half-edges.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import { parentsByLink, rootOf } from './rebuild-links.ts';

/** Rims that hang together, each with its length gathered in small boxes. Without any, winding numbers are whole off the surface. */
export interface Rim {
  readonly num: number;
  /** num x 5: middle (mm), radius round it (mm), length (mm). */
  readonly balls: Float64Array;
  /** num + 1: boxes of each. */
  readonly start: Uint32Array;
  /** numBoxes x 4: middle of the box and length of rim in it, mm. */
  readonly boxes: Float64Array;
  /** How far a rim can be from the middle of its box, mm. */
  readonly reachMm: number;
}

const MOST_BOXES = 8192;

/** The rim is where the sides of triangles do not cancel: an edge used as often one way as the other is none.
 *  The mesh must be welded. Cost: O(n). */
export function rimOf(mesh: Mesh, cellMm: number): Rim {
  const segments = rimSegments(mesh);
  let length = 0;
  for (let s = 0; s < segments.length; s += SEGMENT) length += segments[s + 7]!;
  return gather(segments, Math.max(2 * cellMm, length / MOST_BOXES));
}

/** Bound on the slope of the winding number off the surface within a ball, 1/mm; Infinity where a rim may run through it. From a rim
 *  of length L: 1/(4 pi) int dl / r^2 (Biot-Savart) near it, and L^2 / (8 pi^2 r^3) far from it, since some lid over it has an area
 *  of at most L^2 / 4 pi and a lid's solid angle changes by at most 2 / r^3 of its area. Cost: O(rims), and boxes of near ones. */
export function steepestWinding(rim: Rim, [x, y, z]: Vec3, radiusMm: number): number {
  const { balls, boxes, start } = rim;
  let sum = 0;
  for (let n = 0; n < rim.num; n++) {
    const o = n * 5;
    const length = balls[o + 4]!;
    const away = distance(balls, o, x, y, z) - balls[o + 3]! - radiusMm;
    if (away > length / (2 * Math.PI)) {
      sum += (length * length) / (2 * Math.PI * away * away * away);
      continue;
    }
    for (let b = start[n]!; b < start[n + 1]!; b++) {
      const near = distance(boxes, b * 4, x, y, z) - radiusMm - rim.reachMm;
      if (near <= 0) return Infinity;
      sum += boxes[b * 4 + 3]! / (near * near);
    }
  }
  return sum / (4 * Math.PI);
}

function distance(p: Float64Array, o: number, x: number, y: number, z: number): number {
  const dx = p[o]! - x;
  const dy = p[o + 1]! - y;
  const dz = p[o + 2]! - z;
  return Math.sqrt(dx * dx + dy * dy + dz * dz);
}

/** Per half-edge, 0 where the sides along its edge cancel; else how many more run one way, on one half-edge of the edge, and -1 on
 *  its others. The mesh must be welded. Cost: O(n), buckets by the smaller vertex. */
export function rimSides({ positions, triangles }: Mesh): Int16Array {
  const out = new Int16Array(triangles.length);
  const start = new Uint32Array(positions.length / 3 + 1);
  for (let h = 0; h < triangles.length; h++) start[nearEnd(triangles, h) + 1]!++;
  for (let v = 1; v < start.length; v++) start[v]! += start[v - 1]!;
  const fill = start.slice();
  const order = new Uint32Array(triangles.length);
  for (let h = 0; h < triangles.length; h++) order[fill[nearEnd(triangles, h)]!++] = h;
  const net = new Int32Array(positions.length / 3);
  for (let v = 0; v + 1 < start.length; v++) {
    for (let n = start[v]!; n < start[v + 1]!; n++) {
      net[farEnd(triangles, order[n]!)]! += triangles[order[n]!] === v ? 1 : -1;
    }
    for (let n = start[v]!; n < start[v + 1]!; n++) {
      const far = farEnd(triangles, order[n]!);
      if (net[far] === 0 || far === v) continue;
      out[order[n]!] = net[far] === SEEN ? -1 : Math.min(32_000, Math.abs(net[far]!));
      net[far] = SEEN;
    }
    for (let n = start[v]!; n < start[v + 1]!; n++) net[farEnd(triangles, order[n]!)] = 0;
  }
  return out;
}

const SEEN = 0x7fffffff;

function nearEnd(triangles: Uint32Array, h: number): number {
  return Math.min(triangles[h]!, triangles[nextHalfEdge(h)]!);
}

function farEnd(triangles: Uint32Array, h: number): number {
  return Math.max(triangles[h]!, triangles[nextHalfEdge(h)]!);
}

/** Numbers a segment: both ends, the rim it belongs to, its length times how often it counts. */
const SEGMENT = 8;

function rimSegments(mesh: Mesh): Float64Array {
  const { positions: p, triangles } = mesh;
  const sides = rimSides(mesh);
  const parent = parentsByLink(p.length / 3);
  let num = 0;
  for (let h = 0; h < sides.length; h++) {
    if (sides[h]! <= 0) continue;
    num++;
    const a = rootOf(parent, triangles[h]!);
    const b = rootOf(parent, triangles[nextHalfEdge(h)]!);
    if (a !== b) parent[Math.max(a, b)] = Math.min(a, b);
  }
  const out = new Float64Array(num * SEGMENT);
  let o = 0;
  for (let h = 0; h < sides.length; h++) {
    if (sides[h]! <= 0) continue;
    const a = triangles[h]! * 3;
    const b = triangles[nextHalfEdge(h)]! * 3;
    for (let c = 0; c < 3; c++) {
      out[o + c] = p[a + c]!;
      out[o + 3 + c] = p[b + c]!;
    }
    out[o + 6] = rootOf(parent, triangles[h]!);
    out[o + 7] = sides[h]! * Math.hypot(p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!);
    o += SEGMENT;
  }
  return out;
}

function gather(segments: Float64Array, sideMm: number): Rim {
  const boxesOfRim = new Map<number, Map<number, number>>();
  const boxes: number[] = [];
  for (let s = 0; s < segments.length; s += SEGMENT) {
    const rim = segments[s + 6]!;
    const known = boxesOfRim.get(rim) ?? new Map<number, number>();
    boxesOfRim.set(rim, known);
    const long = Math.hypot(
      segments[s + 3]! - segments[s]!,
      segments[s + 4]! - segments[s + 1]!,
      segments[s + 5]! - segments[s + 2]!,
    );
    const parts = Math.max(1, Math.ceil(long / sideMm));
    for (let n = 0; n < parts; n++) addPart(segments, { s, share: (n + 0.5) / parts, parts }, sideMm, { known, boxes });
  }
  return inRims(boxesOfRim, boxes, sideMm);
}

function addPart(
  segments: Float64Array,
  part: { readonly s: number; readonly share: number; readonly parts: number },
  sideMm: number,
  to: { readonly known: Map<number, number>; readonly boxes: number[] },
): void {
  const { s, share } = part;
  const at = (c: number): number =>
    Math.floor((segments[s + c]! + share * (segments[s + 3 + c]! - segments[s + c]!)) / sideMm);
  const [i, j, k] = [at(0), at(1), at(2)];
  const key = (i + 65_536) * 2 ** 34 + (j + 65_536) * 2 ** 17 + k + 65_536;
  let box = to.known.get(key);
  if (box === undefined) {
    box = to.boxes.length / 4;
    to.known.set(key, box);
    to.boxes.push((i + 0.5) * sideMm, (j + 0.5) * sideMm, (k + 0.5) * sideMm, 0);
  }
  to.boxes[box * 4 + 3]! += segments[s + 7]! / part.parts;
}

function inRims(
  boxesOfRim: ReadonlyMap<number, ReadonlyMap<number, number>>,
  boxes: readonly number[],
  sideMm: number,
): Rim {
  const num = boxesOfRim.size;
  // A part can stand out of the box of its middle by half its length.
  const reachMm = (sideMm * (Math.sqrt(3) + 1)) / 2;
  const rim = {
    num,
    balls: new Float64Array(num * 5),
    start: new Uint32Array(num + 1),
    boxes: new Float64Array(boxes.length),
    reachMm,
  };
  let [n, b] = [0, 0];
  for (const known of boxesOfRim.values()) {
    const low = [Infinity, Infinity, Infinity];
    const high = [-Infinity, -Infinity, -Infinity];
    rim.start[n] = b;
    for (const box of known.values()) {
      for (let c = 0; c < 4; c++) rim.boxes[b * 4 + c] = boxes[box * 4 + c]!;
      for (let c = 0; c < 3; c++) {
        low[c] = Math.min(low[c]!, boxes[box * 4 + c]!);
        high[c] = Math.max(high[c]!, boxes[box * 4 + c]!);
      }
      rim.balls[n * 5 + 4]! += boxes[box * 4 + 3]!;
      b++;
    }
    for (let c = 0; c < 3; c++) rim.balls[n * 5 + c] = (low[c]! + high[c]!) / 2;
    rim.balls[n * 5 + 3] = Math.hypot(high[0]! - low[0]!, high[1]! - low[1]!, high[2]! - low[2]!) / 2 + reachMm;
    n++;
  }
  rim.start[n] = b;
  return rim;
}
