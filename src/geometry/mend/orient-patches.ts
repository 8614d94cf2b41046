// Turns triangles so that neighbours agree which side is out.
import { edgeRings } from '../../mesh/edge-rings.ts';
import { type Mesh, meshOf, numTris, type Vec3 } from '../../mesh/mesh.ts';
import type { MendStep } from './mend-step.ts';

/** Across edges of exactly two faces every neighbour is turned to agree; of each connected part the side with more area stays as the
 *  file has it. Where a part closes on itself the wrong way (a surface with one side) the clash stays and its edges are counted.
 *  Cost: O(n), 0.1 s per million triangles. Method: breadth first; docs/methods/mend.md. */
export function orientPatches(mesh: Mesh): {
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
  readonly oneSidedEdges: number;
} {
  const ring = edgeRings(mesh);
  if (!hasClash(mesh, ring)) return { mesh, steps: [], oneSidedEdges: 0 };
  const isTurned = turnsOf(mesh, ring);
  const triangles = mesh.triangles.slice();
  let [count, first] = [0, -1];
  for (let t = 0; t < isTurned.length; t++) {
    if (isTurned[t] === 0) continue;
    if (first < 0) first = t;
    count++;
    triangles[3 * t + 1] = mesh.triangles[3 * t + 2]!;
    triangles[3 * t + 2] = mesh.triangles[3 * t + 1]!;
  }
  const turned = count === 0 ? mesh : meshOf(mesh.positions, triangles);
  const steps: MendStep[] =
    count === 0 ? [] : [{ kind: 'triangles-turned', count, largestMm: null, atMm: placeOf(mesh, first) }];
  return { mesh: turned, steps, oneSidedEdges: clashesLeft(mesh, ring, isTurned) };
}

function hasClash({ triangles }: Mesh, ring: Int32Array): boolean {
  for (let h = 0; h < ring.length; h++) if (isClash(triangles, ring, h)) return true;
  return false;
}

function isClash(triangles: Uint32Array, ring: Int32Array, h: number): boolean {
  const g = ring[h]!;
  return g > h && ring[g] === h && triangles[g] === triangles[h];
}

/** numTris: 1 where the triangle has to be turned. */
function turnsOf(mesh: Mesh, ring: Int32Array): Uint8Array {
  const { triangles } = mesh;
  const isTurned = new Uint8Array(numTris(mesh));
  const isSeen = new Uint8Array(numTris(mesh));
  const queue = new Int32Array(numTris(mesh));
  for (let seed = 0; seed < isSeen.length; seed++) {
    if (isSeen[seed] === 1) continue;
    let [head, tail] = [0, 1];
    const area = [0, 0];
    queue[0] = seed;
    isSeen[seed] = 1;
    while (head < tail) {
      const t = queue[head++]!;
      area[isTurned[t]!]! += areaOf(mesh, t);
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const g = ring[h]!;
        if (g === h || ring[g] !== h) continue;
        const u = Math.trunc(g / 3);
        if (isSeen[u] === 1) continue;
        isSeen[u] = 1;
        isTurned[u] = isTurned[t]! ^ (triangles[g] === triangles[h] ? 1 : 0);
        queue[tail++] = u;
      }
    }
    if (area[1]! > area[0]!) for (let i = 0; i < tail; i++) isTurned[queue[i]!]! ^= 1;
  }
  return isTurned;
}

function clashesLeft({ triangles }: Mesh, ring: Int32Array, isTurned: Uint8Array): number {
  let left = 0;
  for (let h = 0; h < ring.length; h++) {
    const g = ring[h]!;
    if (g <= h || ring[g] !== h) continue;
    const isAlike = triangles[g] === triangles[h];
    const isOneTurned = isTurned[Math.trunc(h / 3)] !== isTurned[Math.trunc(g / 3)];
    if (isAlike !== isOneTurned) left++;
  }
  return left;
}

function areaOf({ positions: p, triangles }: Mesh, t: number): number {
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  return Math.sqrt(x * x + y * y + z * z) / 2;
}

function placeOf({ positions, triangles }: Mesh, t: number): Vec3 {
  const v = 3 * triangles[3 * t]!;
  return [positions[v]!, positions[v + 1]!, positions[v + 2]!];
}
