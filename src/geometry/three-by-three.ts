// Vectors and matrices of three: what fitting planes and axes needs, and no more.
import type { Vec3 } from '../mesh/mesh.ts';

export function dot(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/** Length 1; the zero vector becomes +z. */
export function unit(a: Vec3): Vec3 {
  const length = Math.hypot(a[0], a[1], a[2]);
  return length > 0 ? [a[0] / length, a[1] / length, a[2] / length] : [0, 0, 1];
}

export function scaled(a: Vec3, by: number): Vec3 {
  return [a[0] * by, a[1] * by, a[2] * by];
}

export function plus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

export function minus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

/** The part of `a` that lies in the plane with this unit normal. */
export function within(normal: Vec3, a: Vec3): Vec3 {
  return minus(a, scaled(normal, dot(a, normal)));
}

/** Angle between two directions of any length, degrees; exact for small angles too. */
export function angleDeg(a: Vec3, b: Vec3): number {
  const across = cross(a, b);
  return (Math.atan2(Math.hypot(across[0], across[1], across[2]), dot(a, b)) * 180) / Math.PI;
}

/** Adds row . x = -residual, weighted, to the normal equations `matrix` x = `right`. */
export function addEquation(
  matrix: Float64Array,
  right: Float64Array,
  row: Vec3,
  of: { readonly residual: number; readonly weight: number },
): void {
  for (let i = 0; i < 3; i++) {
    const w = row[i]! * of.weight;
    for (let j = 0; j < 3; j++) matrix[i * 3 + j] = matrix[i * 3 + j]! + w * row[j]!;
    right[i] = right[i]! - w * of.residual;
  }
}

/** Solves a symmetric, non-negative 3 x 3 system; directions it says nothing about stay still (they get 1e-9 of the diagonal). */
export function solve3(matrix: Float64Array, right: Float64Array): Vec3 {
  const m = Float64Array.from(matrix);
  for (let i = 0; i < 3; i++) m[i * 4] = m[i * 4]! * (1 + 1e-9) + 1e-30;
  const [a, b, c, , d, e, , , f] = m as unknown as [
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
  const [p, q, r] = [right[0]!, right[1]!, right[2]!];
  const A = d * f - e * e;
  const B = c * e - b * f;
  const C = b * e - c * d;
  const det = a * A + b * B + c * C;
  if (!(Math.abs(det) > 0)) return [0, 0, 0];
  const D = a * f - c * c;
  const E = b * c - a * e;
  const F = a * d - b * b;
  return [(A * p + B * q + C * r) / det, (B * p + D * q + E * r) / det, (C * p + E * q + F * r) / det];
}

/** Axes of the scatter of points (n x 3) about `middle`, longest first. Method: cyclic Jacobi rotations. */
export function principalAxes(points: Float64Array, middle: Vec3): readonly [Vec3, Vec3, Vec3] {
  const m = new Float64Array(9);
  for (let i = 0; i < points.length; i += 3) {
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) {
        m[r * 3 + c] = m[r * 3 + c]! + (points[i + r]! - middle[r]!) * (points[i + c]! - middle[c]!);
      }
    }
  }
  return axesOf(m);
}

/** Eigenvectors of a symmetric matrix (row-major), largest eigenvalue first. */
export function axesOf(symmetric: Float64Array): readonly [Vec3, Vec3, Vec3] {
  const m = Float64Array.from(symmetric);
  const v = Float64Array.from([1, 0, 0, 0, 1, 0, 0, 0, 1]);
  for (let sweep = 0; sweep < 20; sweep++) {
    rotateAway(m, v, 0, 1);
    rotateAway(m, v, 0, 2);
    rotateAway(m, v, 1, 2);
  }
  const order = [0, 1, 2].sort((a, b) => m[b * 4]! - m[a * 4]!);
  return order.map((c) => unit([v[c]!, v[3 + c]!, v[6 + c]!])) as unknown as [Vec3, Vec3, Vec3];
}

function rotateAway(m: Float64Array, v: Float64Array, p: number, q: number): void {
  const off = m[p * 3 + q]!;
  if (off === 0) return;
  const theta = (m[q * 4]! - m[p * 4]!) / (2 * off);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < 3; k++) {
    const a = m[k * 3 + p]!;
    const b = m[k * 3 + q]!;
    m[k * 3 + p] = c * a - s * b;
    m[k * 3 + q] = s * a + c * b;
  }
  for (let k = 0; k < 3; k++) {
    const a = m[p * 3 + k]!;
    const b = m[q * 3 + k]!;
    m[p * 3 + k] = c * a - s * b;
    m[q * 3 + k] = s * a + c * b;
    const x = v[k * 3 + p]!;
    const y = v[k * 3 + q]!;
    v[k * 3 + p] = c * x - s * y;
    v[k * 3 + q] = s * x + c * y;
  }
}
