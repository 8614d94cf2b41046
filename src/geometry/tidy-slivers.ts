// What is left where two surfaces were cut along each other: edges and triangles too small for a file in single precision. Joins and turns them away.
import { type Mesh, meshOf, type Vec3 } from '../mesh/mesh.ts';
import type { MeshPart } from './plane-split.ts';
import { cross, dot, minus } from './three-by-three.ts';

export const SLIVER_DEFAULTS = {
  /** Edges shorter than this are drawn together, mm: a hundred times what single precision can tell on a helm, a hundredth of what prints. */
  shortMm: 1e-3,
  /** Triangles lower than this over their longest edge are turned away by flipping it, mm. */
  lowMm: 3e-4,
} as const;

export interface TidiedSlivers extends MeshPart {
  readonly mesh: Mesh;
  /** numTris: the triangle of the mesh handed in. */
  readonly sourceTri: Int32Array;
  /** Short edges and low triangles that had to stay. */
  readonly left: number;
}

/** Takes out short edges and low triangles that touch a vertex with `isLoose`; the others keep their places to the bit. A loose vertex goes
 *  to the other end of a short edge, where the surface stays closed (link condition, Dey et al. 1999) and no triangle turns over; the
 *  longest edge of a low triangle is flipped, where neither new one turns over. No point of the surface moves by more than `shortMm`.
 *  Cost: O(n), and some 10 us for each sliver. Weak: what cannot be joined or flipped, such as a spike thinner
 *  than `shortMm`, stays and is counted; about one, what is joined may go through its far side. */
export function tidySlivers(
  mesh: Mesh,
  isLoose: Uint8Array,
  options: { readonly shortMm: number; readonly lowMm: number } = SLIVER_DEFAULTS,
): TidiedSlivers {
  const tidy = startTidying(mesh, isLoose);
  let left = 0;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const changes = tidy.changes;
    left = 0;
    for (let tri = 0; tri < tidy.alive.length; tri++) {
      if (tidy.alive[tri] === 0 || !touchesLoose(tidy, tri)) continue;
      const shape = shapeOf(tidy, tri);
      const isShort = shape.shortestMm < options.shortMm;
      if (!isShort && shape.lowMm >= options.lowMm) continue;
      if (isShort && joinEnds(tidy, tri, shape.shortest)) continue;
      if (shape.lowMm < options.lowMm && flipLongest(tidy, tri, shape)) continue;
      left++;
    }
    if (tidy.changes === changes) break;
  }
  return finish(tidy, left);
}

const MOST_ROUNDS = 12;

interface Tidying {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly isLoose: Uint8Array;
  readonly alive: Uint8Array;
  readonly source: Int32Array;
  /** Triangles about a vertex, of vertices looked at so far; of all others as they were. */
  readonly stars: Map<number, Set<number>>;
  readonly starStart: Uint32Array;
  readonly starTris: Uint32Array;
  changes: number;
}

function startTidying(mesh: Mesh, isLoose: Uint8Array): Tidying {
  const triangles = mesh.triangles.slice();
  const numTris = triangles.length / 3;
  const starStart = new Uint32Array(isLoose.length + 1);
  for (const vert of triangles) starStart[vert + 1]!++;
  for (let v = 0; v < isLoose.length; v++) starStart[v + 1]! += starStart[v]!;
  const next = starStart.slice();
  const starTris = new Uint32Array(triangles.length);
  for (let i = 0; i < triangles.length; i++) starTris[next[triangles[i]!]!++] = Math.trunc(i / 3);
  return {
    positions: mesh.positions,
    triangles,
    isLoose,
    alive: new Uint8Array(numTris).fill(1),
    source: Int32Array.from({ length: numTris }, (_, tri) => tri),
    stars: new Map(),
    starStart,
    starTris,
    changes: 0,
  };
}

function starOf(tidy: Tidying, vert: number): Set<number> {
  let star = tidy.stars.get(vert);
  if (star === undefined) {
    star = new Set(tidy.starTris.subarray(tidy.starStart[vert]!, tidy.starStart[vert + 1]!));
    tidy.stars.set(vert, star);
  }
  return star;
}

function touchesLoose({ triangles, isLoose }: Tidying, tri: number): boolean {
  const t = tri * 3;
  return (isLoose[triangles[t]!]! | isLoose[triangles[t + 1]!]! | isLoose[triangles[t + 2]!]!) !== 0;
}

interface Shape {
  /** Corner at which the shortest and the longest edge begin. */
  readonly shortest: number;
  readonly longest: number;
  readonly shortestMm: number;
  /** Height over the longest edge. */
  readonly lowMm: number;
}

function shapeOf(tidy: Tidying, tri: number): Shape {
  const corners = cornersOf(tidy, tri).map((vert) => pointOf(tidy, vert));
  let [shortest, longest] = [0, 0];
  const mm = corners.map((corner, c) => Math.hypot(...minus(corners[(c + 1) % 3]!, corner)));
  for (let c = 1; c < 3; c++) {
    if (mm[c]! < mm[shortest]!) shortest = c;
    if (mm[c]! > mm[longest]!) longest = c;
  }
  const twiceArea = Math.hypot(...normalOf(corners[0]!, corners[1]!, corners[2]!));
  return { shortest, longest, shortestMm: mm[shortest]!, lowMm: mm[longest]! > 0 ? twiceArea / mm[longest]! : 0 };
}

/** Joins the two ends of an edge, the loose one going to the other. */
function joinEnds(tidy: Tidying, tri: number, corner: number): boolean {
  const corners = cornersOf(tidy, tri);
  const [a, b] = [corners[corner]!, corners[(corner + 1) % 3]!];
  return (tidy.isLoose[a] === 1 && moveOnto(tidy, a, b)) || (tidy.isLoose[b] === 1 && moveOnto(tidy, b, a));
}

function moveOnto(tidy: Tidying, vert: number, onto: number): boolean {
  const star = starOf(tidy, vert);
  const about = neighboursOf(tidy, vert);
  const both = [...neighboursOf(tidy, onto)].filter((v) => about.has(v));
  if (both.length !== 2) return false;
  const stays = [...star].filter((tri) => !cornersOf(tidy, tri).includes(onto));
  if (star.size - stays.length !== 2) return false;
  const turns = stays.some((tri) => {
    const was = cornersOf(tidy, tri);
    const now = was.map((v) => (v === vert ? onto : v));
    return !agree(tidy, was, now);
  });
  if (turns) return false;
  const touched = new Set([...star].flatMap((tri) => cornersOf(tidy, tri)));
  for (const v of touched) starOf(tidy, v);
  for (const tri of star) {
    const isKept = stays.includes(tri);
    if (!isKept) {
      tidy.alive[tri] = 0;
      for (const v of cornersOf(tidy, tri)) if (v !== vert) starOf(tidy, v).delete(tri);
      continue;
    }
    for (let c = 0; c < 3; c++) if (tidy.triangles[tri * 3 + c] === vert) tidy.triangles[tri * 3 + c] = onto;
    starOf(tidy, onto).add(tri);
  }
  star.clear();
  tidy.changes++;
  return true;
}

/** Flips the longest edge: the triangle and its neighbour there become two across, both of the neighbour's surface. */
function flipLongest(tidy: Tidying, tri: number, { longest, lowMm }: Shape): boolean {
  const corners = cornersOf(tidy, tri);
  const [a, b, c] = [corners[longest]!, corners[(longest + 1) % 3]!, corners[(longest + 2) % 3]!];
  const across = [...starOf(tidy, a)].filter((other) => other !== tri && cornersOf(tidy, other).includes(b));
  const other = across[0];
  if (other === undefined || across.length !== 1) return false;
  const was = cornersOf(tidy, other);
  const d = was.find((v) => v !== a && v !== b)!;
  if (d === c || neighboursOf(tidy, c).has(d)) return false;
  const [first, second] = [
    [c, d, b],
    [d, c, a],
  ] as const;
  if (!agree(tidy, was, first) || !agree(tidy, was, second)) return false;
  if (Math.min(heightOf(tidy, first), heightOf(tidy, second)) <= lowMm) return false;
  for (const v of [a, b, c, d]) starOf(tidy, v);
  tidy.triangles.set(first, tri * 3);
  tidy.triangles.set(second, other * 3);
  tidy.source[tri] = tidy.source[other]!;
  starOf(tidy, a).delete(tri);
  starOf(tidy, b).delete(other);
  starOf(tidy, c).add(other);
  starOf(tidy, d).add(tri);
  tidy.changes++;
  return true;
}

/** Whether two triangles look the same way. */
function agree(tidy: Tidying, was: readonly number[], now: readonly number[]): boolean {
  return dot(normalOfVerts(tidy, was), normalOfVerts(tidy, now)) > 0;
}

function heightOf(tidy: Tidying, verts: readonly number[]): number {
  const [a, b, c] = verts.map((vert) => pointOf(tidy, vert)) as [Vec3, Vec3, Vec3];
  const most = Math.max(Math.hypot(...minus(b, a)), Math.hypot(...minus(c, b)), Math.hypot(...minus(a, c)));
  return most > 0 ? Math.hypot(...normalOf(a, b, c)) / most : 0;
}

function neighboursOf(tidy: Tidying, vert: number): Set<number> {
  const out = new Set([...starOf(tidy, vert)].flatMap((tri) => cornersOf(tidy, tri)));
  out.delete(vert);
  return out;
}

function cornersOf({ triangles }: Tidying, tri: number): readonly [number, number, number] {
  return [triangles[tri * 3]!, triangles[tri * 3 + 1]!, triangles[tri * 3 + 2]!];
}

function pointOf({ positions }: Tidying, vert: number): Vec3 {
  return [positions[vert * 3]!, positions[vert * 3 + 1]!, positions[vert * 3 + 2]!];
}

function normalOfVerts(tidy: Tidying, verts: readonly number[]): Vec3 {
  const [a, b, c] = verts.map((vert) => pointOf(tidy, vert)) as [Vec3, Vec3, Vec3];
  return normalOf(a, b, c);
}

function normalOf(a: Vec3, b: Vec3, c: Vec3): Vec3 {
  return cross(minus(b, a), minus(c, a));
}

function finish({ positions, triangles, alive, source }: Tidying, left: number): TidiedSlivers {
  const kept = Int32Array.from(alive.keys()).filter((tri) => alive[tri] === 1);
  const handle = new Int32Array(positions.length / 3).fill(-1);
  const out = new Uint32Array(kept.length * 3);
  const places = new Float64Array(positions.length);
  let used = 0;
  for (let i = 0; i < out.length; i++) {
    const v = triangles[kept[Math.trunc(i / 3)]! * 3 + (i % 3)]!;
    if (handle[v]! < 0) {
      places.set(positions.subarray(v * 3, v * 3 + 3), used * 3);
      handle[v] = used++;
    }
    out[i] = handle[v]!;
  }
  return { mesh: meshOf(places.slice(0, used * 3), out), sourceTri: kept.map((tri) => source[tri]!), left };
}
