// Which tools get to a place on a surface: the largest disc of a ladder that stands on it without running into something beside it.
import { invariant } from '../base/invariant.ts';
import { QUIET_WORK, type Work } from '../base/work.ts';
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import { areaNormals } from '../mesh/measure.ts';
import type { Mesh, Vec3 } from '../mesh/mesh.ts';
import { raycast } from '../mesh/ray.ts';
import { type AreaPlaces, areaPlaces } from './area-places.ts';
import { discFits } from './disc-beside.ts';
import { beginPlace, lookAround, type StandingAround, standingAround } from './standing-around.ts';
import { treeSlabs } from './tree-slabs.ts';
import { carryOver } from './wall/carry-over.ts';
import { areasOf } from './wall/choose-by-area.ts';

/** A flat rigid disc with a soft face, and the tool above it: a cylinder. */
export interface DiscTool {
  readonly radiusMm: number;
  /** Of the tool, from its face up. */
  readonly heightMm: number;
}

export interface ReachOptions {
  /** Smallest first; none lower than the one before. At most 255. */
  readonly tools: readonly DiscTool[];
  /** How far the surface may press into the soft face, mm, over 0. */
  readonly giveMm: number;
  /** numTris: 0 where nobody asks. All unless given. */
  readonly asked?: Uint8Array;
  readonly mostPlaces?: number;
  readonly work?: Work;
}

export interface DiscReach {
  readonly places: AreaPlaces;
  /** Per place: how many of the tools reach it, from the smallest on. */
  readonly reach: Uint8Array;
  /** tools + 1, mm2: the area that exactly so many of them reach. */
  readonly areaMm2: Float64Array;
  /** numTris: the same for a triangle, by its first place or the nearest triangle along the surface that has one. */
  readonly perTri: Uint8Array;
}

export const REACH_DEFAULTS = { mostPlaces: 6000 } as const;

/** A tool reaches a place when its cylinder can stand square on the tangent plane there, middle anywhere so that the face covers the place, with nothing of the surface
 *  between `giveMm` and its height over that plane, and when nothing stands straight over the place lower than its height. In a ladder what a tool
 *  reaches all smaller ones reach. Space: that of the mesh, mm. Cost: a tree's slabs and some 0.3 ms a place, 2 s; 0.3 s more a million triangles.
 *  Method: morphological opening (Serra 1982) by a disc, a place at a time; docs/methods/disc-reach.md. Weak: no tool tilts; how it got there is not asked. */
export function discReach(mesh: Mesh, tree: BoundingTree, options: ReachOptions): DiscReach {
  const { tools, giveMm, asked, mostPlaces = REACH_DEFAULTS.mostPlaces, work = QUIET_WORK } = options;
  checkLadder(tools, giveMm);
  const normals = areaNormals(mesh);
  const areaMm2 = areasOf(normals);
  const wanted = asked === undefined ? areaMm2 : areaMm2.map((area, t) => (asked[t] === 0 ? 0 : area));
  const places = areaPlaces(mesh, wanted, mostPlaces, work.seed);
  const around = standingAround(tree, treeSlabs(tree));
  const reach = new Uint8Array(places.tri.length);
  for (let i = 0; i < reach.length; i++) {
    if ((i & 63) === 0) work.tick(i / reach.length, 'trying which tools reach');
    const t = places.tri[i]! * 3;
    const length = 2 * areaMm2[places.tri[i]!]!;
    beginPlace(
      around,
      [places.atMm[i * 3]!, places.atMm[i * 3 + 1]!, places.atMm[i * 3 + 2]!],
      [normals[t]! / length, normals[t + 1]! / length, normals[t + 2]! / length],
    );
    reach[i] = toolsThatReach(around, tools, giveMm);
  }
  const sums = new Float64Array(tools.length + 1);
  for (const count of reach) sums[count] = sums[count]! + places.areaMm2;
  return { places, reach, areaMm2: sums, perTri: perTriangle(mesh, { normals, areaMm2 }, places, reach) };
}

function checkLadder(tools: readonly DiscTool[], giveMm: number): void {
  invariant(giveMm > 0, 'the face of the disc gives');
  invariant(tools.length <= 255, 'a byte counts the tools');
  for (const [i, { radiusMm, heightMm }] of tools.entries()) {
    const before = tools[i - 1] ?? { radiusMm: 0, heightMm: giveMm };
    invariant(radiusMm > before.radiusMm && heightMm >= before.heightMm, 'discs grow along the ladder');
  }
}

/** Rays begin so far over the surface, mm: over rounding, under any detail. */
const LIFT_MM = 1e-4;

function toolsThatReach(around: StandingAround, tools: readonly DiscTool[], giveMm: number): number {
  const { frame: f, tree } = around;
  const normal: Vec3 = [f[3]!, f[4]!, f[5]!];
  const start: Vec3 = [f[0]! + LIFT_MM * normal[0], f[1]! + LIFT_MM * normal[1], f[2]! + LIFT_MM * normal[2]];
  const over = raycast(tree, start, normal, { to: tools.at(-1)?.heightMm ?? 0 });
  let reached = 0;
  for (const { radiusMm, heightMm } of tools) {
    if (over !== null && over.t < heightMm) break;
    // no disc that covers the place reaches farther than its diameter
    lookAround(around, { overMm: giveMm, upToMm: heightMm, withinMm: 2 * radiusMm });
    if (!discFits(around, radiusMm)) break;
    reached++;
  }
  return reached;
}

function perTriangle(
  mesh: Mesh,
  of: { readonly normals: Float64Array; readonly areaMm2: Float64Array },
  places: AreaPlaces,
  reach: Uint8Array,
): Uint8Array {
  const measured = new Uint8Array(of.areaMm2.length);
  const counts = new Float32Array(of.areaMm2.length);
  for (let i = reach.length - 1; i >= 0; i--) {
    measured[places.tri[i]!] = 1;
    counts[places.tri[i]!] = reach[i]!;
  }
  carryOver(mesh, of.normals, { measured, areaMm2: of.areaMm2, numbers: [counts] });
  return Uint8Array.from(counts);
}
