// One hole in a surface closed by a patch that carries on the surface around it.
import { QUIET_WORK, type Work } from '../../../base/work.ts';
import { nextHalfEdge, previousHalfEdge } from '../../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts } from '../../../mesh/mesh.ts';
import { fairPatch, type Surrounding } from './fair-patch.ts';
import { type HolePatch, holePatch } from './hole-patch.ts';
import { triangulateRim } from './hole-triangulation.ts';
import { refinePatch } from './refine-patch.ts';

export interface FillOptions {
  /** smooth: joins with the tangent planes around. flat: the tautest patch, as a lid is. */
  readonly shape: 'smooth' | 'flat';
  /** Rims of more corners are halved first; the cost grows with the cube. */
  readonly mostExact: number;
  /** No patch gets more new vertices than this. */
  readonly mostVerts: number;
}

export const FILL_DEFAULTS: FillOptions = { shape: 'smooth', mostExact: 160, mostVerts: 20_000 };

export interface Filling {
  /** x y z of the new vertices, mm; they count on from the mesh's last. */
  readonly newPositions: Float64Array;
  /** Vertex handles, 3 per triangle, running against the faces along the rim. */
  readonly newTriangles: Uint32Array;
}

/** Closes holes. Each loop: half-edges of `mesh` with no mate, each beginning where the one before it ends and passing no vertex
 *  twice (`simpleLoops`); loops must not share an edge. Makes no triangle side that the mesh has already.
 *  The mesh with the patches added, and per loop whether it was closed (fewer than three edges are not).
 *  Cost: O(k^3) for k rim edges up to `mostExact` (0.2 s at 200) and O(numTris) to see the surroundings.
 *  Method: least bend (Liepa 2003), refined to the density around, then the thin-plate energy; docs/methods/hole-filling.md.
 *  Weak: a detail or crease that was lost is not guessed at; a patch may cross a distant part of the surface. */
export function fillHoles(
  mesh: Mesh,
  loops: readonly Int32Array[],
  options: Partial<FillOptions> = {},
  work: Work = QUIET_WORK,
): { readonly mesh: Mesh; readonly isFilled: readonly boolean[] } {
  const { fillings } = fillingsOf(mesh, loops, options, work);
  let verts = mesh.positions.length;
  let tris = mesh.triangles.length;
  for (const filling of fillings) {
    verts += filling?.newPositions.length ?? 0;
    tris += filling?.newTriangles.length ?? 0;
  }
  const positions = new Float64Array(verts);
  const triangles = new Uint32Array(tris);
  positions.set(mesh.positions);
  triangles.set(mesh.triangles);
  verts = mesh.positions.length;
  tris = mesh.triangles.length;
  for (const filling of fillings) {
    if (filling === null) continue;
    const shift = verts / 3 - numVerts(mesh);
    triangles.set(
      filling.newTriangles.map((v) => (v < numVerts(mesh) ? v : v + shift)),
      tris,
    );
    positions.set(filling.newPositions, verts);
    verts += filling.newPositions.length;
    tris += filling.newTriangles.length;
  }
  return { mesh: meshOf(positions, triangles), isFilled: fillings.map((filling) => filling !== null) };
}

function fillingsOf(
  mesh: Mesh,
  loops: readonly Int32Array[],
  options: Partial<FillOptions>,
  work: Work,
): { fillings: readonly (Filling | null)[] } {
  const settings = { ...FILL_DEFAULTS, ...options };
  const near = trianglesNear(mesh, loops);
  return {
    fillings: loops.map((loop, i) => {
      work.tick(i / loops.length, 'closing holes');
      return fillOne(mesh, loop, { near, settings });
    }),
  };
}

/** Half-edges that leave rim vertices, chained per vertex, and the sides that lie between two of them, old and new. */
interface Near {
  readonly first: Int32Array;
  readonly next: Map<number, number>;
  readonly joined: Set<number>;
}

function trianglesNear(mesh: Mesh, loops: readonly Int32Array[]): Near {
  const { triangles } = mesh;
  const first = new Int32Array(numVerts(mesh)).fill(NONE);
  const isRim = new Uint8Array(numVerts(mesh));
  for (const loop of loops) for (const h of loop) isRim[triangles[h]!] = 1;
  const next = new Map<number, number>();
  const joined = new Set<number>();
  for (let h = 0; h < triangles.length; h++) {
    const v = triangles[h]!;
    if (isRim[v] === 0) continue;
    if (first[v] !== NONE) next.set(h, first[v]!);
    first[v] = h;
    const w = triangles[nextHalfEdge(h)]!;
    if (isRim[w] === 1) joined.add(sideKey(mesh, v, w));
  }
  return { first, next, joined };
}

function sideKey(mesh: Mesh, a: number, b: number): number {
  return a < b ? a * numVerts(mesh) + b : b * numVerts(mesh) + a;
}

interface Setting {
  readonly near: Near;
  readonly settings: FillOptions;
}

function fillOne(mesh: Mesh, loop: Int32Array, { near, settings }: Setting): Filling | null {
  if (loop.length < 3) return null;
  const { positions, triangles } = mesh;
  const rim = Uint32Array.from(loop, (h) => triangles[h]!);
  const points = pointsOf(positions, rim);
  const beyond = pointsOf(
    positions,
    Uint32Array.from(loop, (h) => triangles[previousHalfEdge(h)]!),
  );
  const isJoined = joinedCorners(mesh, rim, near);
  const flat = triangulateRim({ points, beyond, isJoined }, settings.mostExact);
  const patch = flat === null ? fanPatch(points) : holePatch(points, flat);
  const around = surroundingOf(mesh, rim, near);
  refinePatch(patch, { spacingMm: around.spacingMm, mostVerts: settings.mostVerts });
  if (settings.shape === 'smooth') fairPatch(patch, around);
  const numOld = numVerts(mesh);
  const newTriangles = Uint32Array.from(patch.triangles, (v) => (v < rim.length ? rim[v]! : numOld + v - rim.length));
  noteSides(mesh, newTriangles, near);
  return { newPositions: Float64Array.from(patch.points.slice(3 * rim.length)), newTriangles };
}

function pointsOf(positions: Float64Array, verts: Uint32Array): Float64Array {
  const points = new Float64Array(3 * verts.length);
  for (let i = 0; i < verts.length; i++) for (let c = 0; c < 3; c++) points[3 * i + c] = positions[3 * verts[i]! + c]!;
  return points;
}

function joinedCorners(mesh: Mesh, rim: Uint32Array, { joined }: Near): Uint8Array {
  const k = rim.length;
  const isJoined = new Uint8Array(k * k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) if (i !== j && joined.has(sideKey(mesh, rim[i]!, rim[j]!))) isJoined[i * k + j] = 1;
  return isJoined;
}

/** Where no triangulation is free of sides that are there already: a star from the middle, which needs none. */
function fanPatch(points: Float64Array): HolePatch {
  const k = points.length / 3;
  const triangles = new Uint32Array(3 * k);
  const withMiddle = new Float64Array(3 * k + 3);
  withMiddle.set(points);
  for (let i = 0; i < k; i++) {
    triangles.set([(i + 1) % k, i, k], 3 * i);
    for (let c = 0; c < 3; c++) withMiddle[3 * k + c]! += points[3 * i + c]! / k;
  }
  const star = holePatch(withMiddle, triangles);
  return { ...star, numRim: k };
}

function surroundingOf(mesh: Mesh, rim: Uint32Array, near: Near): Surrounding & { readonly spacingMm: Float64Array } {
  const { positions, triangles } = mesh;
  const numberOf = new Map<number, number>();
  rim.forEach((v, i) => {
    numberOf.set(v, i);
  });
  const points: number[] = [];
  const corners: number[] = [];
  const seen = new Set<number>();
  const spacingMm = new Float64Array(rim.length);
  for (let i = 0; i < rim.length; i++) {
    let edges = 0;
    for (let h = near.first[rim[i]!]!; h !== NONE; h = near.next.get(h) ?? NONE) {
      edges++;
      spacingMm[i]! += sideLength(positions, rim[i]!, triangles[nextHalfEdge(h)]!);
      const t = Math.trunc(h / 3);
      if (seen.has(t)) continue;
      seen.add(t);
      for (let c = 0; c < 3; c++) {
        const v = triangles[3 * t + c]!;
        let number = numberOf.get(v);
        if (number === undefined) {
          number = rim.length + points.length / 3;
          numberOf.set(v, number);
          points.push(positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!);
        }
        corners.push(number);
      }
    }
    spacingMm[i]! /= Math.max(1, edges);
  }
  return { points, triangles: corners, spacingMm };
}

function sideLength(p: Float64Array, a: number, b: number): number {
  return Math.hypot(p[3 * a]! - p[3 * b]!, p[3 * a + 1]! - p[3 * b + 1]!, p[3 * a + 2]! - p[3 * b + 2]!);
}

/** So that the next patch at the same vertices avoids this one's sides. */
function noteSides(mesh: Mesh, newTriangles: Uint32Array, { joined }: Near): void {
  const numOld = numVerts(mesh);
  for (let h = 0; h < newTriangles.length; h++) {
    const a = newTriangles[h]!;
    const b = newTriangles[nextHalfEdge(h)]!;
    if (a < numOld && b < numOld) joined.add(sideKey(mesh, a, b));
  }
}
