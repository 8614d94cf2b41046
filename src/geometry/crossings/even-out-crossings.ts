// Frees a made surface from crossings of its own by evening out the places where it has some.
import { partOfWork, type Work } from '../../base/work.ts';
import { halfEdgeTwins, nextHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts } from '../../mesh/mesh.ts';
import { selfCrossings } from './self-crossings.ts';

export interface EvenedOut {
  readonly mesh: Mesh;
  /** Pairs of triangles that still cross. */
  readonly crossings: number;
  /** How far a vertex was moved for it at most, mm. */
  readonly movedMm: number;
}

/** Evens out the surface round triangles that cross others until none does: their vertices go to the middle of their neighbours,
 *  a ring more each time a place resists. Cost: a search for crossings of the whole, one more when there were any; between them only
 *  the places found are searched. Weak: sheets that lie in each other over more than a cell stay. */
export function evenOutCrossings(mesh: Mesh, work: Work, options = EVEN_DEFAULTS): EvenedOut {
  const positions = mesh.positions.slice();
  const out = meshOf(positions, mesh.triangles);
  let crossed = selfCrossings(out, partOfWork(work, 0, 0.4));
  for (let turn = 0; turn < options.turns && crossed.pairs > 0; turn++) {
    evenPlaces(mesh, positions, crossed.crossed, options.rounds);
    work.tick(0.5, 'looking for crossings');
    crossed = selfCrossings(out, partOfWork(work, 0.5, 1));
  }
  let moved2 = 0;
  for (let v = 0; v < positions.length; v += 3) {
    const x = positions[v]! - mesh.positions[v]!;
    const y = positions[v + 1]! - mesh.positions[v + 1]!;
    const z = positions[v + 2]! - mesh.positions[v + 2]!;
    moved2 = Math.max(moved2, x * x + y * y + z * z);
  }
  return { mesh: out, crossings: crossed.pairs, movedMm: Math.sqrt(moved2) };
}

const EVEN_DEFAULTS = { rounds: 8, turns: 2 };
/** Rings of triangles round a crossing that are looked at again. */
const RINGS = 5;

/** Several rounds over the neighbourhoods of the crossed triangles, as a small mesh of their own whose border stays. */
function evenPlaces(mesh: Mesh, positions: Float64Array, crossed: Uint8Array, rounds: number): void {
  const near = new Uint8Array(numVerts(mesh));
  for (let h = 0; h < mesh.triangles.length; h++) {
    if (crossed[Math.trunc(h / 3)] === 1) near[mesh.triangles[h]!] = 1;
  }
  for (let ring = 0; ring < RINGS; ring++) spread(mesh.triangles, near);
  const corners: number[] = [];
  const vertOf = new Int32Array(near.length).fill(NONE);
  const verts: number[] = [];
  for (let h = 0; h < mesh.triangles.length; h++) {
    const t = h - (h % 3);
    if (near[mesh.triangles[t]!]! + near[mesh.triangles[t + 1]!]! + near[mesh.triangles[t + 2]!]! < 3) continue;
    const v = mesh.triangles[h]!;
    if (vertOf[v] === NONE) {
      vertOf[v] = verts.length;
      verts.push(v);
    }
    corners.push(vertOf[v]!);
  }
  const small = meshOf(new Float64Array(verts.length * 3), Uint32Array.from(corners));
  verts.forEach((v, n) => {
    for (let c = 0; c < 3; c++) small.positions[n * 3 + c] = positions[v * 3 + c]!;
  });
  evenSmall(small, rounds);
  verts.forEach((v, n) => {
    for (let c = 0; c < 3; c++) positions[v * 3 + c] = small.positions[n * 3 + c]!;
  });
}

function evenSmall(small: Mesh, rounds: number): void {
  const isBorder = new Uint8Array(numVerts(small));
  const twins = halfEdgeTwins(small);
  for (let h = 0; h < twins.length; h++) {
    if (twins[h] === NONE) isBorder[small.triangles[h]!] = isBorder[small.triangles[nextHalfEdge(h)]!] = 1;
  }
  for (let round = 0; round < rounds; round++) {
    const { pairs, crossed } = selfCrossings(small);
    if (pairs === 0) return;
    const marked = new Uint8Array(isBorder.length);
    for (let h = 0; h < small.triangles.length; h++) {
      if (crossed[Math.trunc(h / 3)] === 1) marked[small.triangles[h]!] = 1;
    }
    for (let ring = 0; ring < Math.min(round - 1, RINGS - 2); ring++) spread(small.triangles, marked);
    for (let v = 0; v < marked.length; v++) if (isBorder[v] === 1) marked[v] = 0;
    for (let pass = 0; pass < 2; pass++) toMiddles(small, marked);
  }
}

function spread(triangles: Uint32Array, marked: Uint8Array): void {
  const before = marked.slice();
  for (let h = 0; h < triangles.length; h += 3) {
    const a = triangles[h]!;
    const b = triangles[h + 1]!;
    const c = triangles[h + 2]!;
    if (before[a] === 1 || before[b] === 1 || before[c] === 1) marked[a] = marked[b] = marked[c] = 1;
  }
}

/** Two thirds of the way to the mean of the neighbours. */
function toMiddles({ positions, triangles }: Mesh, marked: Uint8Array): void {
  const sums = new Float64Array(marked.length * 4);
  for (let h = 0; h < triangles.length; h++) {
    const v = triangles[h]!;
    if (marked[v] === 0) continue;
    const next = triangles[nextHalfEdge(h)]! * 3;
    for (let c = 0; c < 3; c++) sums[v * 4 + c]! += positions[next + c]!;
    sums[v * 4 + 3]!++;
  }
  for (let v = 0; v < marked.length; v++) {
    if (marked[v] === 0) continue;
    for (let c = 0; c < 3; c++) {
      positions[v * 3 + c] = (positions[v * 3 + c]! + (2 * sums[v * 4 + c]!) / sums[v * 4 + 3]!) / 3;
    }
  }
}
