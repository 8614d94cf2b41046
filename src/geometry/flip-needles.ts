// Triangles whose three corners lie exactly on a line are valid, but some readers refuse them: turns their long edge away.

/** Flips the longest edge of each triangle without area, in place, until none is left or none can be flipped; the surface keeps
 *  its place exactly, since the middle corner lies on that edge. Both triangles take the neighbour's provenance.
 *  Returns the number of needles left (where the flipped edge is there already). The surface must be closed, each edge in two
 *  triangles. Cost: O(n) for each round; one round when there is no needle. */
export function flipNeedles(positions: Float64Array, triangles: Uint32Array, sourceTri: Int32Array): number {
  let needles = findNeedles(positions, triangles);
  for (let round = 0; round < MAX_ROUNDS && needles.length > 0; round++) {
    if (flipRound(positions, triangles, sourceTri, needles) === 0) break;
    needles = findNeedles(positions, triangles);
  }
  return needles.length;
}

/** Every flip shortens the long edge of a needle; chains of more needles than this do not happen along one cut. */
const MAX_ROUNDS = 32;

/** Exact for single-precision coordinates: their products fit double precision. */
function findNeedles(p: Float64Array, triangles: Uint32Array): number[] {
  const needles: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    if (ux * vy === uy * vx && uy * vz === uz * vy && uz * vx === ux * vz) needles.push(t / 3);
  }
  return needles;
}

function flipRound(
  positions: Float64Array,
  triangles: Uint32Array,
  sourceTri: Int32Array,
  needles: readonly number[],
): number {
  const numVerts = positions.length / 3;
  const triAt = edgesNear(triangles, numVerts, needles);
  const isTouched = new Set<number>();
  let numFlipped = 0;
  for (const tri of needles) {
    const [x, y, z] = longEdgeFirst(positions, triangles, tri);
    const mate = triAt.get(y * numVerts + x);
    if (mate === undefined || isTouched.has(tri) || isTouched.has(mate)) continue;
    const d = triangles[mate * 3]! + triangles[mate * 3 + 1]! + triangles[mate * 3 + 2]! - x - y;
    if (d === z || triAt.has(z * numVerts + d) || triAt.has(d * numVerts + z)) continue;
    triangles.set([z, x, d], tri * 3);
    triangles.set([z, d, y], mate * 3);
    sourceTri[tri] = sourceTri[mate]!;
    triAt.set(z * numVerts + d, mate);
    isTouched.add(tri).add(mate);
    numFlipped++;
  }
  return numFlipped;
}

/** Directed edges (from * numVerts + to) of all triangles that have a corner in common with a needle. */
function edgesNear(triangles: Uint32Array, numVerts: number, needles: readonly number[]): Map<number, number> {
  const isNear = new Uint8Array(numVerts);
  for (const tri of needles) for (let c = 0; c < 3; c++) isNear[triangles[tri * 3 + c]!] = 1;
  const triAt = new Map<number, number>();
  for (let t = 0; t < triangles.length; t += 3) {
    if ((isNear[triangles[t]!]! | isNear[triangles[t + 1]!]! | isNear[triangles[t + 2]!]!) === 0) continue;
    for (let c = 0; c < 3; c++) triAt.set(triangles[t + c]! * numVerts + triangles[t + ((c + 1) % 3)]!, t / 3);
  }
  return triAt;
}

/** The corners in order, beginning with the two ends of the longest edge. */
function longEdgeFirst(p: Float64Array, triangles: Uint32Array, tri: number): readonly [number, number, number] {
  let best = 0;
  let longest = -1;
  for (let c = 0; c < 3; c++) {
    const a = triangles[tri * 3 + c]! * 3;
    const b = triangles[tri * 3 + ((c + 1) % 3)]! * 3;
    const length = Math.hypot(p[a]! - p[b]!, p[a + 1]! - p[b + 1]!, p[a + 2]! - p[b + 2]!);
    if (length > longest) {
      longest = length;
      best = c;
    }
  }
  const corner = (c: number): number => triangles[tri * 3 + ((best + c) % 3)]!;
  return [corner(0), corner(1), corner(2)];
}
