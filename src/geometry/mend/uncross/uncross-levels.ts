// How often a surface winds round what lies beyond each of its patches, carried from patch to patch over the lines where they cross.
import { orient3d } from 'robust-predicates';
import { halfEdgeTwins, nextHalfEdge, previousHalfEdge } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE, numVerts } from '../../../mesh/mesh.ts';

/** A surface in patches that end at crossing lines, and the triangles it was cut from. */
export interface Patched {
  readonly mesh: Mesh;
  readonly patchOfTri: Int32Array;
  readonly patches: number;
  readonly edges: BorderEdges;
  /** The surface before it was cut, and per triangle of `mesh` the one of it that it is a part of. */
  readonly source: Mesh;
  readonly sourceTri: Int32Array;
}

export interface Levels {
  /** Per patch: the patch that stands for all it hangs together with over crossing lines. */
  readonly groupOf: Int32Array;
  /** Per patch: winding number on its outer side, less that of its group's. */
  readonly levelOf: Int32Array;
}

/** Where two triangles cross, the parts of each outside the other see the same winding number w before them, and the parts inside w + 1.
 *  Each edge of a line says so of the four patches that meet there; patches that many edges join are joined first, so that an
 *  edge which rounding has spoilt is outvoted. Exact signs of the uncut triangles tell which part is outside.
 *  Cost: O(border edges log). */
export function patchLevels(patched: Patched): Levels {
  const { from, to, step, weight, count } = tallied(linksBetween(patched), patched.patches);
  const order = Int32Array.from({ length: count }, (_, i) => i).sort((a, b) => weight[b]! - weight[a]!);
  const groupOf = Int32Array.from({ length: patched.patches }, (_, i) => i);
  const levelOf = new Int32Array(patched.patches);
  const size = new Int32Array(patched.patches).fill(1);
  // the patch that leads a group and the level above it, with the way shortened
  const lead = (patch: number): number => {
    const up = groupOf[patch]!;
    if (up === patch) return patch;
    const top = lead(up);
    if (up !== top) levelOf[patch] = levelOf[patch]! + levelOf[up]!;
    groupOf[patch] = top;
    return top;
  };
  for (const i of order) {
    const [a, b] = [from[i]!, to[i]!];
    const [top, other] = [lead(a), lead(b)];
    if (top === other) continue;
    const above = levelOf[a]! + step[i]! - levelOf[b]!;
    const [stays, joins] = size[top]! >= size[other]! ? [top, other] : [other, top];
    groupOf[joins] = stays;
    size[stays]! += size[joins]!;
    levelOf[joins] = joins === other ? above : -above;
  }
  for (let patch = 0; patch < patched.patches; patch++) lead(patch);
  return { groupOf, levelOf };
}

/** Three numbers a link: a patch, another, and by how much the level of the second is higher. */
function linksBetween(patched: Patched): number[] {
  const { patchOfTri } = patched;
  const { halfEdges, starts } = patched.edges;
  const links: number[] = [];
  const link = (h: number, g: number, step: number): void => {
    const [a, b] = [patchOfTri[Math.trunc(h / 3)]!, patchOfTri[Math.trunc(g / 3)]!];
    if (a < b) links.push(a, b, step);
    else if (a > b) links.push(b, a, -step);
  };
  for (let e = 0; e + 1 < starts.length; e++) {
    const four = fourFaces(patched, halfEdges, starts[e]!, starts[e + 1]!);
    if (four === null) continue;
    const [outer, inner, otherOuter, otherInner] = four;
    link(outer, inner, 1);
    link(otherOuter, otherInner, 1);
    link(outer, otherOuter, 0);
    link(inner, otherInner, 0);
  }
  return links;
}

/** Edges at which patches end, by the half-edges on each side by side; starts: numEdges + 1. */
export interface BorderEdges {
  readonly halfEdges: Int32Array;
  readonly starts: Int32Array;
}

/** All edges that have not two faces running opposite ways. */
export function borderEdges(mesh: Mesh): BorderEdges {
  const { triangles } = mesh;
  const twins = halfEdgeTwins(mesh);
  const border: number[] = [];
  for (let h = 0; h < twins.length; h++) if (twins[h] === NONE) border.push(h);
  const keyOf = (h: number): number => {
    const [a, b] = [triangles[h]!, triangles[nextHalfEdge(h)]!];
    return Math.min(a, b) * numVerts(mesh) + Math.max(a, b);
  };
  const keys = Float64Array.from(border, keyOf);
  const order = Int32Array.from(border.keys()).sort((i, j) => keys[i]! - keys[j]! || i - j);
  const starts: number[] = [];
  for (let i = 0; i < order.length; i++) if (i === 0 || keys[order[i]!] !== keys[order[i - 1]!]) starts.push(i);
  starts.push(order.length);
  return { halfEdges: order.map((i) => border[i]!), starts: Int32Array.from(starts) };
}

/** Of an edge on the line of two triangles: the part of the one outside the other, its part inside, and the same of the other. Null
 *  when the edge is anything else. */
function fourFaces(
  { mesh, source, sourceTri }: Patched,
  halfEdges: Int32Array,
  start: number,
  end: number,
): readonly [number, number, number, number] | null {
  if (end - start !== 4) return null;
  const sourceAt = (i: number): number => sourceTri[Math.trunc(halfEdges[start + i]! / 3)]!;
  const one = sourceAt(0);
  const own: number[] = [];
  const others: number[] = [];
  for (let i = 0; i < 4; i++) (sourceAt(i) === one ? own : others).push(halfEdges[start + i]!);
  if (own.length !== 2) return null;
  const other = sourceTri[Math.trunc(others[0]! / 3)]!;
  if (sourceTri[Math.trunc(others[1]! / 3)] !== other) return null;
  const [a, b] = [own[0]!, own[1]!];
  const [c, d] = [others[0]!, others[1]!];
  if (mesh.triangles[a] === mesh.triangles[b] || mesh.triangles[c] === mesh.triangles[d]) return null;
  const isOuter = isOutermost(mesh, source, other, [a, b]);
  const isOtherOuter = isOutermost(mesh, source, one, [c, d]);
  return [isOuter ? a : b, isOuter ? b : a, isOtherOuter ? c : d, isOtherOuter ? d : c];
}

/** Whether of two parts beside a line the first lies outside the triangle that makes the line. The one whose corner is farther decides. */
function isOutermost(mesh: Mesh, source: Mesh, tri: number, [h, g]: readonly [number, number]): boolean {
  const first = heightOver(source, tri, mesh, h);
  const second = heightOver(source, tri, mesh, g);
  return Math.abs(first) >= Math.abs(second) ? first > 0 : second < 0;
}

/** Positive when the corner across from half-edge h is outside the triangle's plane. */
function heightOver({ positions: p, triangles }: Mesh, tri: number, mesh: Mesh, h: number): number {
  const [a, b, c] = [triangles[3 * tri]! * 3, triangles[3 * tri + 1]! * 3, triangles[3 * tri + 2]! * 3];
  const d = mesh.triangles[previousHalfEdge(h)]! * 3;
  const q = mesh.positions;
  // the library calls positive what sees the corners run clockwise
  return -orient3d(
    p[a]!,
    p[a + 1]!,
    p[a + 2]!,
    p[b]!,
    p[b + 1]!,
    p[b + 2]!,
    p[c]!,
    p[c + 1]!,
    p[c + 2]!,
    q[d]!,
    q[d + 1]!,
    q[d + 2]!,
  );
}

interface Tally {
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** What most of the links between the two patches say. */
  readonly step: Int8Array;
  /** How many more say that than say something else. */
  readonly weight: Int32Array;
  readonly count: number;
}

function tallied(links: readonly number[], patches: number): Tally {
  const numLinks = links.length / 3;
  const keyOf = (i: number): number => (links[3 * i]! * patches + links[3 * i + 1]!) * 3 + links[3 * i + 2]! + 1;
  const keys = Float64Array.from({ length: numLinks }, (_, i) => keyOf(i)).sort();
  const from = new Int32Array(numLinks);
  const to = new Int32Array(numLinks);
  const step = new Int8Array(numLinks);
  const weight = new Int32Array(numLinks);
  let count = 0;
  for (let i = 0; i < numLinks; ) {
    const pair = Math.floor(keys[i]! / 3);
    const votes = [0, 0, 0];
    for (; i < numLinks && Math.floor(keys[i]! / 3) === pair; i++) votes[keys[i]! % 3]!++;
    const most = votes[1]! >= votes[0]! && votes[1]! >= votes[2]! ? 1 : votes[2]! >= votes[0]! ? 2 : 0;
    from[count] = Math.floor(pair / patches);
    to[count] = pair % patches;
    step[count] = most - 1;
    weight[count++] = 2 * votes[most]! - votes[0]! - votes[1]! - votes[2]!;
  }
  return { from, to, step, weight, count };
}
