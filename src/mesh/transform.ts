// Rigid motions and uniform scale between file, model and laid space.
import type { Mesh, Vec3 } from './mesh.ts';

/** 12 numbers, row-major, last row the shift, for row vectors: p' = [x y z 1] * T, so
 *  x' = x*T[0] + y*T[3] + z*T[6] + T[9].  The layout 3MF uses (core specification 1.4, 3.3). */
export type Transform = readonly number[];

export const IDENTITY: Transform = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0];

export function applyTransform(t: Transform, p: Vec3): Vec3 {
  const [x, y, z] = p;
  return [
    x * t[0]! + y * t[3]! + z * t[6]! + t[9]!,
    x * t[1]! + y * t[4]! + z * t[7]! + t[10]!,
    x * t[2]! + y * t[5]! + z * t[8]! + t[11]!,
  ];
}

/** The direction only, without the shift. */
export function turnVector(t: Transform, v: Vec3): Vec3 {
  const [x, y, z] = v;
  return [x * t[0]! + y * t[3]! + z * t[6]!, x * t[1]! + y * t[4]! + z * t[7]!, x * t[2]! + y * t[5]! + z * t[8]!];
}

/** First `a`, then `b`. */
export function chainTransforms(a: Transform, b: Transform): Transform {
  const out: number[] = [];
  for (let row = 0; row < 4; row++) {
    for (let col = 0; col < 3; col++) {
      let sum = row === 3 ? b[9 + col]! : 0;
      for (let k = 0; k < 3; k++) sum += a[row * 3 + k]! * b[k * 3 + col]!;
      out.push(sum);
    }
  }
  return out;
}

/** Inverse of any transform with a non-zero determinant. */
export function invertTransform(t: Transform): Transform {
  const [a, b, c, d, e, f, g, h, i, x, y, z] = t as unknown as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  const m = [
    e * i - f * h,
    c * h - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ].map((v) => v / det);
  return [
    ...m,
    -(x * m[0]! + y * m[3]! + z * m[6]!),
    -(x * m[1]! + y * m[4]! + z * m[7]!),
    -(x * m[2]! + y * m[5]! + z * m[8]!),
  ];
}

export function transformPositions(t: Transform, positions: Float64Array): Float64Array {
  const out = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]!;
    const y = positions[i + 1]!;
    const z = positions[i + 2]!;
    out[i] = x * t[0]! + y * t[3]! + z * t[6]! + t[9]!;
    out[i + 1] = x * t[1]! + y * t[4]! + z * t[7]! + t[10]!;
    out[i + 2] = x * t[2]! + y * t[5]! + z * t[8]! + t[11]!;
  }
  return out;
}

/** Shares the triangles. Expects a transform that keeps handedness (positive determinant). */
export function transformMesh(t: Transform, mesh: Mesh): Mesh {
  return { kind: 'mesh', positions: transformPositions(t, mesh.positions), triangles: mesh.triangles };
}
