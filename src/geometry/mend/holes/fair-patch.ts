// Lets the new vertices of a patch settle so that it carries on the curvature of the surface around it.
import type { HolePatch } from './hole-patch.ts';

/** The surface next to a rim. */
export interface Surrounding {
  /** Points that are not on the rim, xyz. */
  readonly points: readonly number[];
  /** Corners, 3 per triangle: the rim's corners by their number in the patch, the others counted on from `numRim`. */
  readonly triangles: readonly number[];
}

/** Moves the new vertices (rim and surrounding stay) to where the curvature varies least across patch and rim, so that it joins with
 *  the same tangent planes. In place; false, and nothing moved, when the result would fold or run away.
 *  Cost: O(new vertices) for each of some 2 sqrt(n) steps of conjugate gradients, three rounds.
 *  Method: least squares of the cotangent Laplacian over the new and the rim's vertices, i.e. the thin-plate energy (Botsch and Kobbelt
 *  2004; Liepa 2003 for holes); docs/methods/hole-filling.md. Weak: a crease that ended at the rim is rounded off. */
export function fairPatch(patch: HolePatch, around: Surrounding): boolean {
  const fresh = patch.points.length / 3 - patch.numRim;
  if (fresh === 0) return true;
  const plate = plateOf(patch, around);
  for (let round = 0; round < ROUNDS; round++) {
    weigh(plate);
    settle(plate);
  }
  if (!isSound(patch, plate)) return false;
  for (let i = 0; i < 3 * fresh; i++) patch.points[3 * patch.numRim + i] = plate.at[3 * plate.firstFresh + i]!;
  return true;
}

/** The weights depend on the shape, so the system is set up again as the shape settles. */
const ROUNDS = 4;
/** Enough for patches of some thousand vertices; larger ones stay a little tauter than they might. */
const MOST_STEPS = 600;
/** Cotangents beyond this come from triangles too thin to count. */
const MOST_COT = 12;

interface Plate {
  /** Rim, surrounding, then new vertices: the movable ones are the last, in the order of the patch. */
  readonly at: Float64Array;
  readonly firstFresh: number;
  readonly corners: Uint32Array;
  /** Rows of the Laplacian: one per vertex with all its triangles known; its neighbours with their weights. */
  readonly rowOf: Int32Array;
  readonly rows: Int32Array;
  readonly rowStart: Int32Array;
  readonly neighbour: Int32Array;
  readonly weight: Float64Array;
  readonly rowScale: Float64Array;
}

function plateOf(patch: HolePatch, around: Surrounding): Plate {
  const { numRim } = patch;
  const numAround = around.points.length / 3;
  const numFresh = patch.points.length / 3 - numRim;
  const firstFresh = numRim + numAround;
  const at = new Float64Array(3 * (firstFresh + numFresh));
  at.set(patch.points.slice(0, 3 * numRim));
  at.set(around.points, 3 * numRim);
  at.set(patch.points.slice(3 * numRim), 3 * firstFresh);
  const ofPatch = patch.triangles.map((v) => (v < numRim ? v : v + numAround));
  const corners = Uint32Array.from([...ofPatch, ...around.triangles]);
  return { at, firstFresh, corners, ...rowsOf(corners, firstFresh + numFresh, { numRim, firstFresh }) };
}

type Rows = Omit<Plate, 'at' | 'firstFresh' | 'corners'>;

function rowsOf(
  corners: Uint32Array,
  numVertices: number,
  { numRim, firstFresh }: { readonly numRim: number; readonly firstFresh: number },
): Rows {
  const neighbours: number[][] = Array.from({ length: numVertices }, () => []);
  const met: number[][] = Array.from({ length: numVertices }, () => []);
  const meet = (a: number, b: number): void => {
    const known = neighbours[a]!.indexOf(b);
    if (known < 0) {
      neighbours[a]!.push(b);
      met[a]!.push(1);
    } else met[a]![known]!++;
  };
  for (let t = 0; t < corners.length; t += 3) {
    for (let c = 0; c < 3; c++) {
      const a = corners[t + c]!;
      const b = corners[t + ((c + 1) % 3)]!;
      meet(a, b);
      meet(b, a);
    }
  }
  const rows: number[] = [];
  const rowOf = new Int32Array(numVertices).fill(-1);
  const rowStart: number[] = [0];
  const neighbour: number[] = [];
  for (let v = 0; v < numVertices; v++) {
    const isWanted = v < numRim || v >= firstFresh;
    // a vertex whose ring is not whole has no Laplacian that means curvature
    if (!isWanted || met[v]!.length === 0 || met[v]!.some((times) => times !== 2)) continue;
    rowOf[v] = rows.length;
    rows.push(v);
    neighbour.push(...neighbours[v]!);
    rowStart.push(neighbour.length);
  }
  return {
    rowOf,
    rows: Int32Array.from(rows),
    rowStart: Int32Array.from(rowStart),
    neighbour: Int32Array.from(neighbour),
    weight: new Float64Array(neighbour.length),
    rowScale: new Float64Array(rows.length),
  };
}

/** Cotangent weights and the area about each vertex, from where the vertices are now. */
function weigh(plate: Plate): void {
  const { corners, at, rowOf, rowScale, weight } = plate;
  weight.fill(0);
  rowScale.fill(0);
  for (let t = 0; t < corners.length; t += 3) {
    for (let c = 0; c < 3; c++) {
      const o = corners[t + c]!;
      const a = corners[t + ((c + 1) % 3)]!;
      const b = corners[t + ((c + 2) % 3)]!;
      if (rowOf[a]! < 0 && rowOf[b]! < 0 && rowOf[o]! < 0) continue;
      const ux = at[3 * a]! - at[3 * o]!;
      const uy = at[3 * a + 1]! - at[3 * o + 1]!;
      const uz = at[3 * a + 2]! - at[3 * o + 2]!;
      const vx = at[3 * b]! - at[3 * o]!;
      const vy = at[3 * b + 1]! - at[3 * o + 1]!;
      const vz = at[3 * b + 2]! - at[3 * o + 2]!;
      const across = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
      const cot = Math.max(-MOST_COT, Math.min(MOST_COT, (ux * vx + uy * vy + uz * vz) / (across + 1e-300)));
      addWeight(plate, a, b, cot / 2);
      addWeight(plate, b, a, cot / 2);
      if (rowOf[o]! >= 0) rowScale[rowOf[o]!]! += across / 6;
    }
  }
  let mean = 0;
  for (const area of rowScale) mean += area / rowScale.length;
  for (let r = 0; r < rowScale.length; r++) rowScale[r] = 1 / Math.sqrt(Math.max(rowScale[r]!, 1e-3 * mean, 1e-300));
}

function addWeight({ rowOf, rowStart, neighbour, weight }: Plate, a: number, b: number, amount: number): void {
  const r = rowOf[a]!;
  if (r < 0) return;
  for (let i = rowStart[r]!; i < rowStart[r + 1]!; i++) {
    if (neighbour[i] !== b) continue;
    weight[i]! += amount;
    return;
  }
}

/** Conjugate gradients on the normal equations, the three coordinates at once. */
function settle(plate: Plate): void {
  const { at, firstFresh, rows } = plate;
  const size = at.length - 3 * firstFresh;
  const bent = new Float64Array(3 * rows.length);
  const full = new Float64Array(at.length);
  const gradient = new Float64Array(at.length);
  laplacian(plate, at, bent);
  transposed(plate, bent, gradient);
  const residual = gradient.slice(3 * firstFresh).map((g) => -g);
  const step = residual.slice();
  let power = dotOf(residual, residual);
  const enough = power * 1e-16;
  for (let i = 0; i < 60 + Math.min(4 * size, MOST_STEPS) && power > enough && power > 0; i++) {
    full.set(step, 3 * firstFresh);
    laplacian(plate, full, bent);
    transposed(plate, bent, gradient);
    const curvature = dotOf(bent, bent);
    if (!(curvature > 0)) return;
    const length = power / curvature;
    for (let j = 0; j < size; j++) {
      at[3 * firstFresh + j]! += length * step[j]!;
      residual[j]! -= length * gradient[3 * firstFresh + j]!;
    }
    const next = dotOf(residual, residual);
    for (let j = 0; j < size; j++) step[j] = residual[j]! + (next / power) * step[j]!;
    power = next;
  }
}

function laplacian({ rows, rowStart, neighbour, weight, rowScale }: Plate, x: Float64Array, out: Float64Array): void {
  for (let r = 0; r < rows.length; r++) {
    const v = 3 * rows[r]!;
    let [sx, sy, sz] = [0, 0, 0];
    for (let i = rowStart[r]!; i < rowStart[r + 1]!; i++) {
      const n = 3 * neighbour[i]!;
      const w = weight[i]!;
      sx += w * (x[n]! - x[v]!);
      sy += w * (x[n + 1]! - x[v + 1]!);
      sz += w * (x[n + 2]! - x[v + 2]!);
    }
    out[3 * r] = sx * rowScale[r]!;
    out[3 * r + 1] = sy * rowScale[r]!;
    out[3 * r + 2] = sz * rowScale[r]!;
  }
}

function transposed(
  { rows, rowStart, neighbour, weight, rowScale }: Plate,
  bent: Float64Array,
  out: Float64Array,
): void {
  out.fill(0);
  for (let r = 0; r < rows.length; r++) {
    const v = 3 * rows[r]!;
    for (let c = 0; c < 3; c++) {
      const b = bent[3 * r + c]! * rowScale[r]!;
      for (let i = rowStart[r]!; i < rowStart[r + 1]!; i++) {
        out[3 * neighbour[i]! + c]! += weight[i]! * b;
        out[v + c]! -= weight[i]! * b;
      }
    }
  }
}

function dotOf(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** No triangle of the patch turned over, none grown out of proportion, every number finite. */
function isSound(patch: HolePatch, plate: Plate): boolean {
  const { at, corners, firstFresh } = plate;
  const numAround = firstFresh - patch.numRim;
  let size = 0;
  for (let i = 0; i < 3 * patch.numRim; i++) size = Math.max(size, Math.abs(patch.points[i]! - patch.points[i % 3]!));
  for (let v = patch.numRim; v < patch.points.length / 3; v++) {
    const moved = Math.hypot(...[0, 1, 2].map((c) => at[3 * (v + numAround) + c]! - patch.points[3 * v + c]!));
    if (!(moved <= size)) return false;
  }
  for (let t = 0; t < patch.triangles.length; t += 3) {
    const before = cross(patch.points, patch.triangles, t);
    const after = cross(at, corners, t);
    const agree = before[0] * after[0] + before[1] * after[1] + before[2] * after[2];
    const lengths = Math.hypot(...before) * Math.hypot(...after);
    if (agree < MOST_TURNED * lengths) return false;
  }
  return true;
}

/** Cosine by which settling may turn a triangle. */
const MOST_TURNED = -0.3;

function cross(p: ArrayLike<number>, tris: ArrayLike<number>, t: number): readonly [number, number, number] {
  const a = 3 * tris[t]!;
  const b = 3 * tris[t + 1]!;
  const c = 3 * tris[t + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}
