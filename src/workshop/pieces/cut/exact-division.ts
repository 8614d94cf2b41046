// Carries a division out on the mesh itself: exact cuts along the tree, each connected part on its own.
import { done, type Outcome } from '../../../base/findings.ts';
import type { Plane } from '../../../geometry/plane.ts';
import { planeAwayFromVerts } from '../../../geometry/plane-away.ts';
import { type MeshPart, splitByPlane } from '../../../geometry/plane-split.ts';
import type { SolidWork } from '../../../geometry/solid/solid.ts';
import { splitComponents } from '../../../geometry/split-components.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import { mirroredPlane } from '../search/cut-costs.ts';
import type { Division } from '../search/division-search.ts';
import type { ProxyPart } from '../search/proxy-part.ts';
import { turnedPlane } from '../search/refine-division.ts';
import { volumeOf, widthOf } from './piece-measures.ts';

/** A plane that was cut by, in the order of cutting. Cut faces carry sourceTri = -1 - its index. */
export interface MadeCut {
  readonly plane: Plane;
  /** The plane of the division, before it was moved away from vertices. */
  readonly asked: Plane;
}

/** Which side of a cut a part lies on: 0 below, 1 above. */
export interface PathStep {
  readonly cut: number;
  readonly side: 0 | 1;
}

export interface CutPart {
  readonly part: MeshPart;
  readonly path: readonly PathStep[];
}

interface OpenPart extends CutPart {
  readonly proxy: ProxyPart;
}

export interface CutState {
  readonly shell: Mesh;
  readonly cuts: MadeCut[];
  /** Planes asked for and the planes near them that keep away from the shell's vertices: the same plane asked for in two parts of
   *  the tree must stay one plane, or pieces across a corner would touch in a strip of some hundredths. */
  readonly mirrorX: number | null;
  readonly moved: { readonly asked: Plane; readonly plane: Plane }[];
}

export const CUT_SLACK_MM = 0.05;

/** Cuts one part by the tree of a division. `triSample` says which sample of the division's proxy each triangle of the shell
 *  counts to, by which a connected part finds its place in the tree.
 *  Appends to `state.cuts`. Refuses what the cuts refuse. Cost: O(n) a cut on the triangles of the part cut. */
export function cutByDivision(
  start: CutPart,
  division: Division,
  triSample: Int32Array,
  by: { readonly work: SolidWork; readonly state: CutState },
): Outcome<CutPart[]> {
  const cutOf = new Map(division.cuts.map((one) => [one.part, one.cut]));
  const out: CutPart[] = [];
  const open: OpenPart[] = [{ ...start, proxy: division.whole }];
  let made = 0;
  while (open.length > 0) {
    const here = open.pop()!;
    const cut = cutOf.get(here.proxy);
    if (cut === undefined) {
      out.push({ part: here.part, path: here.path });
      continue;
    }
    by.work.tick(made++ / Math.max(1, division.cuts.length), 'cutting');
    const index = by.state.cuts.length;
    const split = splitByPlane(here.part.mesh, planeToCut(cut.plane, by.state), {
      triangulate: by.work.solid.triangulate,
      sourceTri: here.part.sourceTri,
      capSourceOf: () => -1 - index,
    });
    if (!split.ok) return split;
    by.state.cuts.push({ plane: split.value.plane, asked: cut.plane });
    for (const side of [0, 1] as const) {
      const half = side === 0 ? split.value.below : split.value.above;
      if (half.sourceTri.length === 0) continue;
      const proxies = side === 0 ? cut.sides.below : cut.sides.above;
      const path = [...here.path, { cut: index, side }];
      for (const part of splitComponents(half)) open.push({ part, path, proxy: proxyOf(part, proxies, triSample) });
    }
  }
  return done(out);
}

function planeToCut(asked: Plane, state: CutState): Plane {
  for (const known of state.moved) if (isSamePlane(known.asked, asked)) return known.plane;
  const turned = turnedPlane(asked);
  for (const known of state.moved) if (isSamePlane(known.asked, turned)) return turnedPlane(known.plane);
  const twin = mirroredFromTwin(asked, state);
  if (twin !== null) return twin;
  const { plane } = planeAwayFromVerts(state.shell, asked, CUT_SLACK_MM);
  state.moved.push({ asked, plane });
  return plane;
}

/** The mirror image of a plane already moved, about the symmetry plane as it was moved: twins then meet in it exactly. */
function mirroredFromTwin(asked: Plane, state: CutState): Plane | null {
  const { mirrorX } = state;
  if (mirrorX === null) return null;
  const twin = state.moved.find((known) => isSamePlane(mirroredPlane(known.asked, mirrorX), asked));
  if (twin === undefined) return null;
  const middle = state.moved.find((known) => isSamePlane(known.asked, { normal: [1, 0, 0], offsetMm: mirrorX }));
  const plane = mirroredPlane(twin.plane, middle?.plane.offsetMm ?? mirrorX);
  state.moved.push({ asked, plane });
  return plane;
}

export function isSamePlane(a: Plane, b: Plane): boolean {
  const apart = Math.max(...a.normal.map((v, c) => Math.abs(v - b.normal[c]!)));
  return apart < 1e-9 && Math.abs(a.offsetMm - b.offsetMm) < 1e-6;
}

/** The proxy part to which most of the part's triangles count. */
function proxyOf(part: MeshPart, proxies: readonly ProxyPart[], triSample: Int32Array): ProxyPart {
  if (proxies.length === 1) return proxies[0]!;
  let best = proxies[0]!;
  let most = -1;
  const sampled = new Set<number>();
  for (const source of part.sourceTri) if (source >= 0) sampled.add(triSample[source]!);
  for (const proxy of proxies) {
    let votes = 0;
    for (const sample of proxy.samples) if (sampled.has(sample)) votes++;
    if (votes > most) {
      most = votes;
      best = proxy;
    }
  }
  return best;
}

/** Outward normals of a part's mating faces. */
export function matingNormals(path: readonly PathStep[], cuts: readonly MadeCut[]): Vec3[] {
  return path.map(({ cut, side }) => {
    const [x, y, z] = cuts[cut]!.plane.normal;
    return side === 0 ? [x, y, z] : [-x, -y, -z];
  });
}

/** Parts that are crumbs, less than `share` of the mean volume, or slivers, narrower than `leastMm` in two directions. */
export function crumbsOf(parts: readonly CutPart[], share: number, leastMm: number): CutPart[] {
  const volumes = parts.map((one) => volumeOf(one.part.mesh));
  const mean = volumes.reduce((sum, v) => sum + v, 0) / parts.length;
  return parts.filter((one, i) => volumes[i]! < share * mean || widthOf(one.part.mesh) < leastMm);
}
