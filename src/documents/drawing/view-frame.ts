// How a model is put on paper: directions, scale, and where paper coordinates begin.
import { invariant } from '../../base/invariant.ts';
import type { Vec3 } from '../../mesh/mesh.ts';

/** A parallel projection. Paper: mm, x to the right, y down, depth away from the eye, all three in the same scale. */
export interface ViewFrame {
  readonly right: Vec3;
  readonly up: Vec3;
  readonly into: Vec3;
  /** Paper mm per model mm. */
  readonly scale: number;
  /** Model mm along right and up of the paper's top left corner. */
  readonly leftMm: number;
  readonly topMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface ViewOptions {
  /** Where the eye looks, from the eye into the model. Any length. */
  readonly viewDir: Vec3;
  /** What is up on the paper; only its part across viewDir counts. */
  readonly up: Vec3;
  /** The drawing fits into these, margin included. */
  readonly widthMm: number;
  readonly maxHeightMm: number;
  readonly marginMm: number;
  /** Paper mm per model mm, when several drawings shall share one scale; null: as large as fits. */
  readonly scale: number | null;
}

/** The frame in which all of the points (each n x 3, model space, mm) fit the paper. */
export function viewFrame(clouds: readonly Float64Array[], options: ViewOptions): ViewFrame {
  const into = unit(options.viewDir);
  const right = unit(cross(into, options.up));
  const up = cross(right, into);
  const [lowX, highX, lowY, highY] = extents(clouds, right, up);
  const roomX = options.widthMm - 2 * options.marginMm;
  const roomY = options.maxHeightMm - 2 * options.marginMm;
  const fit = Math.min(roomX / Math.max(highX - lowX, 1e-9), roomY / Math.max(highY - lowY, 1e-9));
  const scale = options.scale ?? fit;
  const marginMm = options.marginMm / scale;
  return {
    right,
    up,
    into,
    scale,
    leftMm: lowX - marginMm,
    topMm: highY + marginMm,
    widthMm: (highX - lowX) * scale + 2 * options.marginMm,
    heightMm: (highY - lowY) * scale + 2 * options.marginMm,
  };
}

/** Points (n x 3) on paper: x, y, depth. */
export function onPaper(frame: ViewFrame, points: Float64Array | Float32Array): Float32Array {
  const { right: r, up: u, into: d, scale, leftMm, topMm } = frame;
  const out = new Float32Array(points.length);
  for (let i = 0; i < points.length; i += 3) {
    const x = points[i]!;
    const y = points[i + 1]!;
    const z = points[i + 2]!;
    out[i] = (x * r[0] + y * r[1] + z * r[2] - leftMm) * scale;
    out[i + 1] = (topMm - (x * u[0] + y * u[1] + z * u[2])) * scale;
    out[i + 2] = (x * d[0] + y * d[1] + z * d[2]) * scale;
  }
  return out;
}

function extents(clouds: readonly Float64Array[], right: Vec3, up: Vec3): readonly [number, number, number, number] {
  let lowX = Infinity;
  let highX = -Infinity;
  let lowY = Infinity;
  let highY = -Infinity;
  for (const points of clouds)
    for (let i = 0; i < points.length; i += 3) {
      const x = points[i]! * right[0] + points[i + 1]! * right[1] + points[i + 2]! * right[2];
      const y = points[i]! * up[0] + points[i + 1]! * up[1] + points[i + 2]! * up[2];
      if (x < lowX) lowX = x;
      if (x > highX) highX = x;
      if (y < lowY) lowY = y;
      if (y > highY) highY = y;
    }
  return lowX <= highX ? [lowX, highX, lowY, highY] : [0, 1, 0, 1];
}

function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function unit(v: Vec3): Vec3 {
  const length = Math.hypot(v[0], v[1], v[2]);
  invariant(length > 1e-9, 'a drawing has a direction of view, and an up that is not along it');
  return [v[0] / length, v[1] / length, v[2] / length];
}
