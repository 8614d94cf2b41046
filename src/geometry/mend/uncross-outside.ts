// Of a surface cut along its crossings, what lies on the outside of the body: the rest is within it.
import { partOfWork, type Work } from '../../base/work.ts';
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { type Mesh, meshOf, numTris } from '../../mesh/mesh.ts';
import { surfaceCheck } from '../../mesh/topology.ts';
import { compactMesh } from '../../mesh/weld.ts';
import { buildWindingTree, type WindingTree, windingFast } from '../winding-number.ts';
import { KEPT, LEFT_OUT, settleByBorders, UNCLEAR } from './uncross-balance.ts';

export interface OutsidePart {
  readonly mesh: Mesh;
  /** Patches that were left out. */
  readonly dropped: number;
  /** Patches whose sides could not be told by themselves, because another part of the surface is too near. */
  readonly unclear: number;
}

/** Keeps the patches (triangles joined over edges with two faces) that have winding number 0 on their outer side and 1 on their inner:
 *  the boundary of what the surface winds round at least once. Where lobes of a body overlap that is their union; what is folded
 *  inside out vanishes. Cost: O(n log n) and some microseconds a patch. Method: generalised winding number on both sides of the
 *  roundest triangles of each patch. */
export function outsideOf(mesh: Mesh, work: Work): OutsidePart {
  const { shells, shellOfTri } = surfaceCheck(mesh);
  const winding = buildWindingTree(buildBoundingTree(mesh, partOfWork(work, 0, 0.5)));
  const best = roundestTris(mesh, shellOfTri, shells);
  const state = new Uint8Array(shells);
  for (let patch = 0; patch < shells; patch++) {
    if ((patch & 31) === 0) work.tick(0.5 + (0.5 * patch) / shells, 'telling inside from outside');
    let outer = Number.NaN;
    for (let k = 0; k < TRIED && Number.isNaN(outer); k++) {
      const tri = best.tris[patch * TRIED + k]!;
      if (tri >= 0) outer = outerWinding(mesh, winding, tri);
    }
    state[patch] = Number.isNaN(outer) ? UNCLEAR : outer === 0 ? KEPT : LEFT_OUT;
  }
  const unclear = state.reduce((sum, now) => sum + (now === UNCLEAR ? 1 : 0), 0);
  settleByBorders(mesh, shellOfTri, state);
  const dropped = state.reduce((sum, now) => sum + (now === LEFT_OUT ? 1 : 0), 0);
  const kept = mesh.triangles.filter((_, h) => state[shellOfTri[Math.trunc(h / 3)]!] === KEPT);
  return { mesh: compactMesh(meshOf(mesh.positions, kept)), dropped, unclear };
}

const TRIED = 3;
/** Off the surface by this share of the radius of the circle in the triangle. */
const OFF = 1e-3;
const CLEAR = 0.1;

/** Per patch the triangles with the largest circle inside, largest first; -1 for none. */
function roundestTris(mesh: Mesh, patchOfTri: Int32Array, patches: number): { readonly tris: Int32Array } {
  const tris = new Int32Array(patches * TRIED).fill(-1);
  const sizes = new Float64Array(patches * TRIED);
  for (let t = 0; t < numTris(mesh); t++) {
    const size = frameOf(mesh, t)[6];
    let at = patchOfTri[t]! * TRIED;
    const end = at + TRIED;
    while (at < end && !(size > sizes[at]!)) at++;
    if (at === end) continue;
    for (let k = end - 1; k > at; k--) {
      tris[k] = tris[k - 1]!;
      sizes[k] = sizes[k - 1]!;
    }
    tris[at] = t;
    sizes[at] = size;
  }
  return { tris };
}

/** Winding number on the outer side of a triangle; NaN unless both sides have whole numbers, one apart. */
function outerWinding(mesh: Mesh, winding: WindingTree, tri: number): number {
  const [x, y, z, nx, ny, nz, radius] = frameOf(mesh, tri);
  for (const off of [OFF * radius, 0.03 * OFF * radius]) {
    const outer = windingFast(winding, x + off * nx, y + off * ny, z + off * nz);
    const inner = windingFast(winding, x - off * nx, y - off * ny, z - off * nz);
    const whole = Math.round(outer);
    if (Math.abs(outer - whole) < CLEAR && Math.abs(inner - whole - 1) < CLEAR) return whole + 0;
  }
  return Number.NaN;
}

type Frame = readonly [number, number, number, number, number, number, number];

/** Middle of the circle in a triangle, its normal, the circle's radius. */
function frameOf({ positions: p, triangles }: Mesh, t: number): Frame {
  const [a, b, c] = [triangles[3 * t]! * 3, triangles[3 * t + 1]! * 3, triangles[3 * t + 2]! * 3];
  const length = (i: number, j: number): number =>
    Math.hypot(p[j]! - p[i]!, p[j + 1]! - p[i + 1]!, p[j + 2]! - p[i + 2]!);
  const [bc, ca, ab] = [length(b, c), length(c, a), length(a, b)];
  const round = bc + ca + ab;
  const middle = (k: number): number => (bc * p[a + k]! + ca * p[b + k]! + ab * p[c + k]!) / round;
  const cross = (k: number, m: number): number =>
    (p[b + k]! - p[a + k]!) * (p[c + m]! - p[a + m]!) - (p[b + m]! - p[a + m]!) * (p[c + k]! - p[a + k]!);
  const [nx, ny, nz] = [cross(1, 2), cross(2, 0), cross(0, 1)];
  const area2 = Math.hypot(nx, ny, nz);
  return [middle(0), middle(1), middle(2), nx / area2, ny / area2, nz / area2, area2 > 0 ? area2 / round : 0];
}
