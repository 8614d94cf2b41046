// Triangles without area are valid topology and useless geometry: taken out without tearing the surface.
import { edgeRings } from '../../mesh/edge-rings.ts';
import { nextHalfEdge, previousHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts, type Vec3 } from '../../mesh/mesh.ts';
import { compactMesh } from '../../mesh/weld.ts';
import { areJoined, flipEdge } from './flip-edge.ts';
import type { MendStep } from './mend-step.ts';

/** A triangle is flat when its height is at most this share of its longest edge. */
export const FLAT_SHARE = 1e-6;

/** Is triangle t flat? */
export function isFlat(p: Float64Array, triangles: Uint32Array, t: number): boolean {
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const u2 = ux * ux + uy * uy + uz * uz;
  const v2 = vx * vx + vy * vy + vz * vz;
  const w2 = (ux - vx) ** 2 + (uy - vy) ** 2 + (uz - vz) ** 2;
  const longest = u2 > v2 ? (u2 > w2 ? u2 : w2) : v2 > w2 ? v2 : w2;
  return nx * nx + ny * ny + nz * nz <= FLAT_SHARE * FLAT_SHARE * longest * longest;
}

/** Removes flat triangles: one whose middle corner lies in its long edge has that edge flipped (or, if the edge is open, is left out);
 *  one with an edge next to nothing has that edge drawn together. The surface stays where it is. Triangles at crowded or clashing
 *  edges, and where the flipped edge is there already, are left. Cost: O(n) and as much again when there is something to do.
 *  Method: docs/methods/mend.md. */
export function removeFlatTriangles(mesh: Mesh): { readonly mesh: Mesh; readonly steps: readonly MendStep[] } {
  let flat = flatOnes(mesh.positions, mesh.triangles);
  if (flat.length === 0) return { mesh, steps: [] };
  const before = flat.length;
  const atMm = placeOf(mesh, flat[0]!);
  const state = stateOf(mesh);
  for (let round = 0; round < MOST_ROUNDS && flat.length > 0; round++) {
    let changed = 0;
    for (const t of flat) if (state.gone[t] === 0 && removeOne(state, t)) changed++;
    if (changed === 0) break;
    flat = flatOnes(mesh.positions, state.triangles).filter((t) => state.gone[t] === 0);
  }
  const count = before - flat.length;
  if (count <= 0) return { mesh, steps: [] };
  const steps: MendStep[] = [{ kind: 'triangles-flat-removed', count, largestMm: null, atMm }];
  return { mesh: packed(state, mesh), steps };
}

/** Chains of flat triangles along one line go one by one. */
const MOST_ROUNDS = 64;
/** A shortest edge under this share of the longest is drawn together rather than its triangle flipped. */
const NO_EDGE = 1e-5;

interface State {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly twins: Int32Array;
  readonly gone: Uint8Array;
  /** Corners at each vertex, to tell whether a fan is all there is. */
  readonly corners: Int32Array;
}

function flatOnes(positions: Float64Array, triangles: Uint32Array): number[] {
  const flat: number[] = [];
  for (let t = 0; 3 * t < triangles.length; t++) if (isFlat(positions, triangles, t)) flat.push(t);
  return flat;
}

function stateOf(mesh: Mesh): State {
  const ring = edgeRings(mesh);
  const twins = new Int32Array(ring.length).fill(NONE);
  for (let h = 0; h < ring.length; h++) {
    const g = ring[h]!;
    if (g !== h && ring[g] === h && mesh.triangles[g] !== mesh.triangles[h]) twins[h] = g;
  }
  // a side that is crowded or clashes must not pass for open: mark it
  for (let h = 0; h < ring.length; h++) if (twins[h] === NONE && ring[h] !== h) twins[h] = BARRED;
  const corners = new Int32Array(numVerts(mesh));
  for (const v of mesh.triangles) corners[v]!++;
  return {
    positions: mesh.positions,
    triangles: mesh.triangles.slice(),
    twins,
    gone: new Uint8Array(ring.length / 3),
    corners,
  };
}

/** In `twins`: neither open nor paired. */
const BARRED = -2;

function removeOne(state: State, t: number): boolean {
  const { triangles, twins } = state;
  for (let h = 3 * t; h < 3 * t + 3; h++) if (twins[h] === BARRED) return false;
  const { long, short, share } = sides(state, t);
  if (share < NO_EDGE && drawTogether(state, short)) return true;
  const g = twins[long]!;
  if (g === NONE) {
    leaveOut(state, t);
    return true;
  }
  const far = triangles[previousHalfEdge(g)]!;
  const apex = previousHalfEdge(long);
  if (triangles[apex] === far) return closeFlap(state, long, g);
  const u = Math.trunc(g / 3);
  for (let h = 3 * u; h < 3 * u + 3; h++) if (twins[h] === BARRED) return false;
  if (!isWholeFan(state, apex) || areJoined(state, apex, far)) return drawTogether(state, short);
  state.corners[triangles[long]!]!--;
  state.corners[triangles[g]!]!--;
  state.corners[far]!++;
  state.corners[triangles[apex]!]!++;
  flipEdge(state, long);
  return true;
}

function sides({ positions: p, triangles }: State, t: number): { long: number; short: number; share: number } {
  let [long, short] = [3 * t, 3 * t];
  let [most, least] = [-1, Infinity];
  for (let h = 3 * t; h < 3 * t + 3; h++) {
    const a = 3 * triangles[h]!;
    const b = 3 * triangles[nextHalfEdge(h)]!;
    const length = Math.hypot(p[a]! - p[b]!, p[a + 1]! - p[b + 1]!, p[a + 2]! - p[b + 2]!);
    if (length > most) [most, long] = [length, h];
    if (length < least) [least, short] = [length, h];
  }
  return { long, short, share: most > 0 ? least / most : 0 };
}

/** The half-edges that leave the vertex of h, one per triangle of its fan; null when a bar or a second fan is in the way. */
function fanAt({ triangles, twins, corners }: State, h: number): number[] | null {
  const fan = [h];
  let g = twins[previousHalfEdge(h)]!;
  while (g >= 0 && g !== h) {
    fan.push(g);
    g = twins[previousHalfEdge(g)]!;
  }
  if (g === BARRED) return null;
  if (g !== h) {
    for (let f = twins[h]!; f !== NONE; f = twins[fan.at(-1)!]!) {
      if (f === BARRED) return null;
      fan.push(nextHalfEdge(f));
    }
  }
  return fan.length === corners[triangles[h]!] ? fan : null;
}

function isWholeFan(state: State, h: number): boolean {
  return fanAt(state, h) !== null;
}

/** Takes a triangle away; its neighbours become open. */
function leaveOut({ triangles, twins, gone, corners }: State, t: number): void {
  gone[t] = 1;
  for (let h = 3 * t; h < 3 * t + 3; h++) {
    const g = twins[h]!;
    if (g >= 0) twins[g] = NONE;
    twins[h] = NONE;
    corners[triangles[h]!]!--;
  }
}

/** Two triangles on the same three vertices, back to back: both go, what was beyond them meets. */
function closeFlap(state: State, h: number, g: number): boolean {
  const { twins } = state;
  const outer = [
    [twins[nextHalfEdge(h)]!, twins[previousHalfEdge(g)]!],
    [twins[previousHalfEdge(h)]!, twins[nextHalfEdge(g)]!],
  ] as const;
  if (outer.flat().some((side) => side === BARRED)) return false;
  const [t, u] = [Math.trunc(h / 3), Math.trunc(g / 3)];
  leaveOut(state, t);
  leaveOut(state, u);
  for (const [a, b] of outer) {
    if (a === NONE || b === NONE || Math.trunc(a / 3) === u || Math.trunc(b / 3) === t) continue;
    twins[a] = b;
    twins[b] = a;
  }
  return true;
}

/** Draws the edge of h together onto its start, when that tears and pinches nothing. */
function drawTogether(state: State, h: number): boolean {
  const { triangles, twins } = state;
  const a = triangles[h]!;
  const b = triangles[nextHalfEdge(h)]!;
  const fanA = fanAt(state, h);
  const fanB = fanAt(state, nextHalfEdge(h));
  if (fanA === null || fanB === null) return false;
  const isOpen = twins[h] === NONE;
  if (isOpen ? false : hasOpen(state, fanA) && hasOpen(state, fanB)) return false;
  const shared = commonNeighbours(state, fanA, fanB);
  if (shared !== (isOpen ? 1 : 2)) return false;
  // keep the vertex on the rim where it is
  const [stay, goes, fan] = !isOpen && hasOpen(state, fanB) ? [b, a, fanA] : [a, b, fanB];
  for (const f of fan) triangles[f] = stay;
  state.corners[stay]! += fan.length;
  state.corners[goes] = 0;
  const g = twins[h]!;
  closeUp(state, h);
  if (g >= 0) closeUp(state, g);
  return true;
}

function hasOpen({ twins }: State, fan: readonly number[]): boolean {
  return fan.some((h) => twins[h] === NONE || twins[previousHalfEdge(h)] === NONE);
}

function commonNeighbours({ triangles }: State, fanA: readonly number[], fanB: readonly number[]): number {
  const ring = (fan: readonly number[]): Set<number> =>
    new Set(fan.flatMap((h) => [triangles[nextHalfEdge(h)]!, triangles[previousHalfEdge(h)]!]));
  const near = ring(fanA);
  let shared = 0;
  for (const v of ring(fanB)) if (near.has(v)) shared++;
  return shared;
}

/** Takes out the triangle of h, whose edge h has no length any more: its other two sides become one. */
function closeUp({ triangles, twins, gone, corners }: State, h: number): void {
  const t = Math.trunc(h / 3);
  const a = twins[nextHalfEdge(h)]!;
  const b = twins[previousHalfEdge(h)]!;
  gone[t] = 1;
  for (let g = 3 * t; g < 3 * t + 3; g++) {
    corners[triangles[g]!]!--;
    twins[g] = NONE;
  }
  if (a >= 0) twins[a] = b;
  if (b >= 0) twins[b] = a;
}

function packed({ triangles, gone }: State, mesh: Mesh): Mesh {
  let at = 0;
  for (let t = 0; t < gone.length; t++) {
    if (gone[t] === 1) continue;
    for (let c = 0; c < 3; c++) triangles[at++] = triangles[3 * t + c]!;
  }
  return compactMesh(meshOf(mesh.positions, triangles.slice(0, at)));
}

function placeOf({ positions, triangles }: Mesh, t: number): Vec3 {
  const v = 3 * triangles[3 * t]!;
  return [positions[v]!, positions[v + 1]!, positions[v + 2]!];
}
