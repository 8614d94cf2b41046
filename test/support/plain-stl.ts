// A second reader of binary STL and plain counts on it, sharing nothing with src: for checks of what was written.
import { readFileSync } from 'node:fs';

/** numTris x 9 coordinates as they stand in the file. */
export function plainStl(path: string): Float64Array {
  const bytes = readFileSync(path);
  const count = bytes.readUInt32LE(80);
  if (bytes.length !== 84 + 50 * count) throw new Error(`${path}: ${bytes.length} bytes for ${count} triangles`);
  const out = new Float64Array(count * 9);
  for (let t = 0; t < count; t++)
    for (let k = 0; k < 9; k++) out[t * 9 + k] = bytes.readFloatLE(84 + t * 50 + 12 + k * 4);
  return out;
}

/** Edges that are not used exactly once in each direction, vertices joined by equal coordinates. */
export function plainBadEdges(corners: Float64Array): number {
  const vertOf = new Map<string, number>();
  const verts = new Uint32Array(corners.length / 3);
  for (let c = 0; c < verts.length; c++) {
    const key = `${corners[c * 3]! + 0},${corners[c * 3 + 1]! + 0},${corners[c * 3 + 2]! + 0}`;
    let vert = vertOf.get(key);
    if (vert === undefined) {
      vert = vertOf.size;
      vertOf.set(key, vert);
    }
    verts[c] = vert;
  }
  const uses = new Map<number, number>();
  for (let c = 0; c < verts.length; c++) {
    const from = verts[c]!;
    const to = verts[c % 3 === 2 ? c - 2 : c + 1]!;
    const key = from * vertOf.size + to;
    uses.set(key, (uses.get(key) ?? 0) + 1);
  }
  let bad = 0;
  for (const [key, count] of uses) {
    const from = Math.floor(key / vertOf.size);
    const to = key % vertOf.size;
    if (count !== 1 || uses.get(to * vertOf.size + from) !== 1) bad++;
  }
  return bad;
}

/** Signed volume about the mean of all corners. */
export function plainVolume(corners: Float64Array): number {
  const middle = [0, 0, 0];
  for (let i = 0; i < corners.length; i++) middle[i % 3]! += (corners[i]! * 3) / corners.length;
  let sum = 0;
  for (let t = 0; t < corners.length; t += 9) {
    const [ax, ay, az, bx, by, bz, cx, cy, cz] = Array.from(
      { length: 9 },
      (_, k) => corners[t + k]! - middle[k % 3]!,
    ) as [number, number, number, number, number, number, number, number, number];
    sum += ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
  }
  return sum / 6;
}

export function plainBox(corners: Float64Array): { low: number[]; high: number[] } {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < corners.length; i++) {
    low[i % 3] = Math.min(low[i % 3]!, corners[i]!);
    high[i % 3] = Math.max(high[i % 3]!, corners[i]!);
  }
  return { low, high };
}

/** p' = [x y z 1] * t for every corner. */
export function moved(corners: Float64Array, t: readonly number[]): Float64Array {
  const out = new Float64Array(corners.length);
  for (let i = 0; i < corners.length; i += 3) {
    for (let c = 0; c < 3; c++)
      out[i + c] = corners[i]! * t[c]! + corners[i + 1]! * t[3 + c]! + corners[i + 2]! * t[6 + c]! + t[9 + c]!;
  }
  return out;
}
