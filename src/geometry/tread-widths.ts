// How wide a tread of a layer truly is where the surface is flatter than its own facets can tell: next to an edge, on a crest, in a groove.
import { QUIET_WORK, type Work } from '../base/work.ts';
import { halfEdgeTwins } from '../mesh/half-edges.ts';
import { type Mesh, NONE, type Vec3 } from '../mesh/mesh.ts';

export interface TreadOptions {
  readonly layerMm: number;
  /** Offset in `triangles` / 3: whether this one is asked for. */
  readonly isAsked: (tri: number) => boolean;
  /** No tread is followed further to either side, mm. */
  readonly widestMm: number;
}

/** One for each triangle, mm, seen from above: from a place in the triangle along its slope to both sides, until the surface has risen or sunk by half a layer, turns back,
 *  or ends. On a plane that is layer / tan(slope); a crest or a ledge narrower than that is as wide as it is. 0 where not asked for, Infinity on a level or an upright triangle.
 *  Space: laid, mm, layers along z. Cost: one pass for the neighbours and, for each triangle asked for, as many steps as its tread crosses triangles.
 *  Method: docs/methods/layer-steps.md. Weak: one place a triangle, so it is true of many triangles together and not of each; where the layers fall is not asked. */
export function treadWidths(mesh: Mesh, options: TreadOptions, work: Work = QUIET_WORK): Float32Array {
  const widths = new Float32Array(mesh.triangles.length / 3);
  const walk: Walk = { mesh, twins: halfEdgeTwins(mesh), halfMm: options.layerMm / 2, widestMm: options.widestMm };
  for (let tri = 0; tri < widths.length; tri++) {
    if ((tri & 8191) === 0) work.tick(tri / widths.length, 'following treads');
    if (!options.isAsked(tri)) continue;
    const start = startOf(mesh, tri);
    widths[tri] = start === null ? Infinity : followed(walk, tri, start, 1) + followed(walk, tri, start, -1);
  }
  return widths;
}

/** Past a corner it may seem to go back by what arithmetic can know. */
const TURNED_MM = 1e-6;

interface Walk {
  readonly mesh: Mesh;
  readonly twins: Int32Array;
  readonly halfMm: number;
  readonly widestMm: number;
}

interface Start {
  readonly at: Vec3;
  /** Level, down the slope for a triangle that looks up. */
  readonly way: readonly [number, number];
  /** 1 when it looks up, -1 when it looks down. */
  readonly faces: number;
}

/** Null for a triangle that is level, upright or without area. */
function startOf({ positions: p, triangles }: Mesh, tri: number): Start | null {
  const [a, b, c] = [triangles[tri * 3]! * 3, triangles[tri * 3 + 1]! * 3, triangles[tri * 3 + 2]! * 3];
  const [ex, ey, ez] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [fx, fy, fz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  const [nx, ny, nz] = [ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx];
  const level = Math.hypot(nx, ny);
  if (level === 0 || nz === 0) return null;
  const [second, third] = placeIn(tri);
  const at: Vec3 = [
    p[a]! + second * ex + third * fx,
    p[a + 1]! + second * ey + third * fy,
    p[a + 2]! + second * ez + third * fz,
  ];
  return { at, way: [nx / level, ny / level], faces: Math.sign(nz) };
}

/** Shares of the second and third corner. The places of many triangles are spread over them as area is: always in the middle, the strips next to edges would be missed.
 *  Method: additive recurrence by the powers of the plastic number. */
function placeIn(tri: number): readonly [number, number] {
  const [u, v] = [(0.5 + tri * 0.7548776662466927) % 1, (0.5 + tri * 0.5698402909980532) % 1];
  return u + v > 1 ? [1 - u, 1 - v] : [u, v];
}

/** How far it goes that way, seen from above, in the upright plane through the start. */
function followed({ mesh, twins, halfMm, widestMm }: Walk, tri: number, start: Start, side: 1 | -1): number {
  const { positions: p, triangles } = mesh;
  const [wx, wy] = [start.way[0] * side, start.way[1] * side];
  const [x0, y0, z0] = start.at;
  // a triangle that looks up is left by the one side that goes from the right of the line to its left; a corner on the line counts as left of it
  const [lx, ly] = [-wy * start.faces, wx * start.faces];
  let [gone, rise] = [0, 0];
  let now = tri;
  do {
    const h = now * 3;
    const [a, b, c] = [triangles[h]! * 3, triangles[h + 1]! * 3, triangles[h + 2]! * 3];
    const atA = lx * (p[a]! - x0) + ly * (p[a + 1]! - y0);
    const atB = lx * (p[b]! - x0) + ly * (p[b + 1]! - y0);
    const atC = lx * (p[c]! - x0) + ly * (p[c + 1]! - y0);
    let [leaves, from, to, right, left] = [h, a, b, atA, atB];
    if (atB < 0 && atC >= 0) [leaves, from, to, right, left] = [h + 1, b, c, atB, atC];
    else if (atC < 0 && atA >= 0) [leaves, from, to, right, left] = [h + 2, c, a, atC, atA];
    else if (!(atA < 0 && atB >= 0)) return gone;
    const share = right / (right - left);
    const x = p[from]! + share * (p[to]! - p[from]!);
    const y = p[from + 1]! + share * (p[to + 1]! - p[from + 1]!);
    const seen = wx * (x - x0) + wy * (y - y0);
    if (seen < gone - TURNED_MM) return gone;
    const far = Math.max(gone, seen);
    const high = p[from + 2]! + share * (p[to + 2]! - p[from + 2]!) - z0;
    if (Math.abs(high) > halfMm) {
      const limit = Math.sign(high) * halfMm;
      return Math.min(widestMm, gone + ((far - gone) * (limit - rise)) / (high - rise));
    }
    if (far >= widestMm) return widestMm;
    [gone, rise] = [far, high];
    const entered = twins[leaves]!;
    if (entered === NONE) return gone;
    now = (entered - (entered % 3)) / 3;
  } while (now !== tri);
  return gone;
}
