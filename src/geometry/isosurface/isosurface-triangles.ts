// Cuts rings of four vertices in two triangles along the diagonal that lies closer to the surface.
import type { SurfaceSource } from './isosurface-field.ts';

export interface Rings {
  /** Four vertices each. */
  readonly rings: Uint32Array;
  /** Larger rings: how many vertices, then they; fanned out from the first. */
  readonly fans: readonly number[];
}

/** Cost: two distances a ring. */
export function triangulate(source: SurfaceSource, positions: Float64Array, { rings, fans }: Rings): Uint32Array {
  const numFan = fanTriangles(fans);
  const out = new Uint32Array((rings.length / 2 + numFan) * 3);
  let n = 0;
  for (let r = 0; r < rings.length; r += 4) {
    const a = rings[r]!;
    const b = rings[r + 1]!;
    const c = rings[r + 2]!;
    const d = rings[r + 3]!;
    const turn = missOf(source, positions, b, d) < missOf(source, positions, a, c);
    out[n] = turn ? b : a;
    out[n + 1] = turn ? c : b;
    out[n + 2] = turn ? d : c;
    out[n + 3] = turn ? b : a;
    out[n + 4] = turn ? d : c;
    out[n + 5] = turn ? a : d;
    n += 6;
  }
  for (let i = 0; i < fans.length; i += fans[i]! + 1) {
    for (let k = 2; k < fans[i]!; k++) {
      out[n++] = fans[i + 1]!;
      out[n++] = fans[i + k]!;
      out[n++] = fans[i + k + 1]!;
    }
  }
  return out;
}

function fanTriangles(fans: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < fans.length; i += fans[i]! + 1) sum += fans[i]! - 2;
  return sum;
}

/** How far off the surface the middle of a diagonal lies, plus a little for its length, so that flat rings take the shorter one. */
function missOf(source: SurfaceSource, p: Float64Array, a: number, b: number): number {
  const [i, j] = [a * 3, b * 3];
  const x = p[i]! - p[j]!;
  const y = p[i + 1]! - p[j + 1]!;
  const z = p[i + 2]! - p[j + 2]!;
  const off = source.missAt((p[i]! + p[j]!) / 2, (p[i + 1]! + p[j + 1]!) / 2, (p[i + 2]! + p[j + 2]!) / 2);
  return off + 0.01 * Math.sqrt(x * x + y * y + z * z);
}
