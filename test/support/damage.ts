// Damages a closed mesh the way files are damaged: what mending has to undo.
import { splitByPlane } from '../../src/geometry/plane-split.ts';
import type { SolidKernel } from '../../src/geometry/solid/solid.ts';
import { together } from '../../src/mesh/builders.ts';
import { halfEdgeTwins, nextHalfEdge, previousHalfEdge } from '../../src/mesh/half-edges.ts';
import { type Mesh, meshOf, numTris, numVerts, type Vec3 } from '../../src/mesh/mesh.ts';
import { weldMesh } from '../../src/mesh/weld.ts';

export type DamageKind =
  | 'single triangles turned'
  | 'a patch turned'
  | 'single triangles missing'
  | 'a patch missing'
  | 'triangles doubled'
  | 'a slit'
  | 'flat triangles'
  | 'T-junctions';

export const DAMAGE_KINDS: readonly DamageKind[] = [
  'single triangles turned',
  'a patch turned',
  'single triangles missing',
  'a patch missing',
  'triangles doubled',
  'a slit',
  'flat triangles',
  'T-junctions',
];

export interface Damage {
  readonly kind: DamageKind;
  /** How many triangles, edges or vertices. */
  readonly count: number;
}

/** The mesh with one damage at a place drawn from `random`. mesh: closed manifold, except for earlier damage. The vertices given stay in
 *  front, with their numbers. */
export function damaged(mesh: Mesh, { kind, count }: Damage, random: () => number): Mesh {
  const some = (n: number): readonly number[] => Array.from({ length: n }, () => Math.floor(random() * numTris(mesh)));
  const place = Math.floor(random() * numTris(mesh));
  switch (kind) {
    case 'single triangles turned':
      return turned(mesh, new Set(some(count)));
    case 'a patch turned':
      return turned(mesh, patchAt(mesh, place, count));
    case 'single triangles missing':
      return without(mesh, new Set(some(count)));
    case 'a patch missing':
      return without(mesh, patchAt(mesh, place, count));
    case 'triangles doubled':
      return doubled(mesh, some(count), random);
    case 'a slit':
      return slit(mesh, 3 * place, count, random);
    case 'flat triangles':
      return withPointsOnEdges(mesh, new Set(some(count)), { bridge: true });
    case 'T-junctions':
      return withPointsOnEdges(mesh, new Set(some(count)), { bridge: false });
  }
}

/** Triangles around `seed`, nearest by edges first. */
function patchAt(mesh: Mesh, seed: number, count: number): ReadonlySet<number> {
  const twins = halfEdgeTwins(mesh);
  const patch = new Set([seed]);
  for (const t of patch) {
    for (let h = 3 * t; h < 3 * t + 3 && patch.size < count; h++) {
      if (twins[h]! >= 0) patch.add(Math.trunc(twins[h]! / 3));
    }
    if (patch.size >= count) break;
  }
  return patch;
}

function turned(mesh: Mesh, which: ReadonlySet<number>): Mesh {
  const triangles = mesh.triangles.slice();
  for (const t of which) {
    triangles[3 * t + 1] = mesh.triangles[3 * t + 2]!;
    triangles[3 * t + 2] = mesh.triangles[3 * t + 1]!;
  }
  return meshOf(mesh.positions, triangles);
}

function without(mesh: Mesh, which: ReadonlySet<number>): Mesh {
  return meshOf(
    mesh.positions,
    mesh.triangles.filter((_, h) => !which.has(Math.trunc(h / 3))),
  );
}

function doubled(mesh: Mesh, which: readonly number[], random: () => number): Mesh {
  const more: number[] = [];
  for (const t of which) {
    const [a, b, c] = mesh.triangles.subarray(3 * t, 3 * t + 3);
    const turn = Math.floor(random() * 3);
    const corners = [a!, b!, c!];
    more.push(corners[turn]!, corners[(turn + 1) % 3]!, corners[(turn + 2) % 3]!);
  }
  return meshOf(mesh.positions, Uint32Array.from([...mesh.triangles, ...more]));
}

/** Walks `count` edges from half-edge `from`, as straight as the mesh allows, and gives the triangles on the left of the inner vertices of
 *  the way vertices of their own, SLIT_MM away. */
function slit(mesh: Mesh, from: number, count: number, random: () => number): Mesh {
  const twins = halfEdgeTwins(mesh);
  const triangles = mesh.triangles.slice();
  const points: number[] = [];
  const way = [from];
  const seen = new Set([mesh.triangles[from]!]);
  for (let h = from; way.length <= count; h = way.at(-1)!) {
    const fan = fanLeaving(twins, h);
    const vert = mesh.triangles[nextHalfEdge(h)]!;
    if (fan === null || fan.length < 4 || seen.has(vert)) break;
    seen.add(vert);
    const next = fan[Math.floor(fan.length / 2)]!;
    const copy = numVerts(mesh) + points.length / 3;
    for (let c = 0; c < 3; c++) points.push(mesh.positions[3 * vert + c]! + (random() - 0.5) * SLIT_MM);
    // from the way in to the way out, on one side
    for (const leaving of fan.slice(0, fan.indexOf(next))) triangles[leaving] = copy;
    way.push(next);
  }
  const positions = new Float64Array(mesh.positions.length + points.length);
  positions.set(mesh.positions);
  positions.set(points, mesh.positions.length);
  return meshOf(positions, triangles);
}

export const SLIT_MM = 1e-3;

/** The half-edges that leave the end of h, beginning with the next in its triangle; null where the surface is open. */
function fanLeaving(twins: Int32Array, h: number): readonly number[] | null {
  const first = nextHalfEdge(h);
  const fan = [first];
  for (let g = twins[previousHalfEdge(first)]!; g !== first; g = twins[previousHalfEdge(g)]!) {
    if (g < 0 || fan.length > 64) return null;
    fan.push(g);
  }
  return fan;
}

/** A vertex in the middle of the first side of each triangle, which the triangle beyond does not share; `bridge` adds the flat triangle
 *  between. */
function withPointsOnEdges(mesh: Mesh, which: ReadonlySet<number>, { bridge }: { readonly bridge: boolean }): Mesh {
  const triangles = mesh.triangles.slice();
  const points: number[] = [];
  const more: number[] = [];
  for (const t of which) {
    const [a, b, c] = triangles.slice(3 * t, 3 * t + 3) as unknown as [number, number, number];
    const middle = numVerts(mesh) + points.length / 3;
    for (let i = 0; i < 3; i++) points.push((mesh.positions[3 * a + i]! + mesh.positions[3 * b + i]!) / 2);
    triangles[3 * t + 1] = middle;
    more.push(middle, b, c);
    if (bridge) more.push(a, b, middle);
  }
  const positions = new Float64Array(mesh.positions.length + points.length);
  positions.set(mesh.positions);
  positions.set(points, mesh.positions.length);
  return meshOf(positions, Uint32Array.from([...triangles, ...more]));
}

/** The mesh cut by a plane across its middle three fifths into two closed shells that both have what lies within 0.2 to 2 mm of the cut:
 *  together they cover what the mesh does. Their faces there lie on each other. mesh: closed. Vertices are counted anew. */
export function splitApart(mesh: Mesh, triangulate: SolidKernel['triangulate'], random: () => number): Mesh {
  const normal = randomDirection(random);
  const overlapMm = 0.2 + 1.8 * random();
  const heightOf = (v: number): number =>
    normal[0] * mesh.positions[v]! + normal[1] * mesh.positions[v + 1]! + normal[2] * mesh.positions[v + 2]!;
  let [low, high] = [Infinity, -Infinity];
  for (let v = 0; v < mesh.positions.length; v += 3) {
    low = Math.min(low, heightOf(v));
    high = Math.max(high, heightOf(v));
  }
  const offsetMm = low + (0.2 + 0.6 * random()) * (high - low);
  const upper = splitByPlane(mesh, { normal, offsetMm }, { triangulate });
  const lower = splitByPlane(mesh, { normal, offsetMm: offsetMm + overlapMm }, { triangulate });
  if (!upper.ok || !lower.ok) throw new Error('the model to be split is not closed');
  return weldMesh(together([lower.value.below.mesh, upper.value.above.mesh])).mesh;
}

/** Along an axis, as joints between parts mostly are, or any way. */
function randomDirection(random: () => number): Vec3 {
  const axis = Math.floor(6 * random());
  if (axis < 3) return [axis === 0 ? 1 : 0, axis === 1 ? 1 : 0, axis === 2 ? 1 : 0];
  const z = 2 * random() - 1;
  const turn = 2 * Math.PI * random();
  const across = Math.sqrt(1 - z * z);
  return [across * Math.cos(turn), across * Math.sin(turn), z];
}
