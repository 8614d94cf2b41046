// Reads the mating faces of a division as sections: outlines in their plane with what each stretch of them is, and the wall's thickness.
import { planeFrame } from '../../../geometry/plane.ts';
import { dot, scaled } from '../../../geometry/three-by-three.ts';
import { widestCircle } from '../../../geometry/widest-circle.ts';
import { halfEdgeTwins, nextHalfEdge } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE, type Vec3 } from '../../../mesh/mesh.ts';
import type { Seam } from '../../process/pieces-record.ts';
import { type SeamSection, type SectionLoop, SIDE_INNER, SIDE_OUTER, SIDE_SEAM } from './seam-section.ts';

/** A piece as it was cut. */
export interface PlainPiece {
  readonly id: string;
  readonly mesh: Mesh;
  /** numTris: triangle of the worn shell, or -1 - seam. */
  readonly sourceTri: Int32Array;
}

/** One section a seam, in their order. seen: per triangle of the worn shell, 0 on its inside. Each side of a seam's outline is told by the
 *  rim of the lower piece's face that it lies on; where it lies on none, the face goes on into another seam.
 *  Space: worn. Cost: O(n) for the rims, and per seam sides of its outline x rim edges near its plane (each grows with the root of n). */
export function sectionsOf(
  pieces: readonly PlainPiece[],
  seams: readonly Seam[],
  seen: Uint8Array,
): readonly SeamSection[] {
  const rims = new Map(pieces.map((piece) => [piece.id, faceRim(piece, seen)]));
  return seams.map((seam) => sectionOf(seam, rims.get(seam.pieces[0])!));
}

function sectionOf(seam: Seam, rim: FaceRim): SeamSection {
  const n = seam.plane.normal;
  const { u, v } = planeFrame(n);
  const origin = scaled(n, seam.plane.offsetMm);
  const near = rimNear(rim, seam);
  const loops = seam.outlines.map((outline): SectionLoop => {
    const points = withoutRepeats(outline);
    const count = points.length / 3;
    const flat = new Float64Array(count * 2);
    const sides = new Uint8Array(count);
    for (let i = 0; i < count; i++) {
      const p: Vec3 = [points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!];
      flat[i * 2] = dot(p, u);
      flat[i * 2 + 1] = dot(p, v);
      const j = ((i + 1) % count) * 3;
      sides[i] = sideAt([(p[0] + points[j]!) / 2, (p[1] + points[j + 1]!) / 2, (p[2] + points[j + 2]!) / 2], near);
    }
    return { points, flat, sides };
  });
  return { seam, origin, u, v, n, loops, wallMm: wallOf(loops) };
}

/** The edges in which a piece's mating faces meet the shell. */
interface FaceRim {
  /** num x 6: both ends. */
  readonly ends: Float64Array;
  readonly isOuter: Uint8Array;
}

function faceRim({ mesh, sourceTri }: PlainPiece, seen: Uint8Array): FaceRim {
  const twins = halfEdgeTwins(mesh);
  const { triangles, positions } = mesh;
  const ends: number[] = [];
  const isOuter: number[] = [];
  for (let h = 0; h < triangles.length; h++) {
    if (sourceTri[Math.trunc(h / 3)]! > NONE) continue;
    const source = twins[h] === NONE ? NONE : sourceTri[Math.trunc(twins[h]! / 3)]!;
    if (source < 0) continue;
    for (const vert of [triangles[h]!, triangles[nextHalfEdge(h)]!])
      for (let c = 0; c < 3; c++) ends.push(positions[vert * 3 + c]!);
    isOuter.push(seen[source]! > 0 ? 1 : 0);
  }
  return { ends: Float64Array.from(ends), isOuter: Uint8Array.from(isOuter) };
}

function rimNear({ ends, isOuter }: FaceRim, { plane, bowMm }: Seam): FaceRim {
  const [x, y, z] = plane.normal;
  const picked: number[] = [];
  for (let e = 0; e < isOuter.length; e++) {
    const heights = [e * 6, e * 6 + 3].map((i) =>
      Math.abs(x * ends[i]! + y * ends[i + 1]! + z * ends[i + 2]! - plane.offsetMm),
    );
    if (Math.max(...heights) <= bowMm + NEAR_MM) picked.push(e);
  }
  return {
    ends: Float64Array.from(picked.flatMap((e) => Array.from(ends.subarray(e * 6, e * 6 + 6)))),
    isOuter: Uint8Array.from(picked, (e) => isOuter[e]!),
  };
}

/** Outlines are kept in single precision. */
const NEAR_MM = 2e-3;

function sideAt(p: Vec3, { ends, isOuter }: FaceRim): number {
  let least = NEAR_MM * NEAR_MM;
  let side = SIDE_SEAM as number;
  for (let e = 0; e < isOuter.length; e++) {
    const i = e * 6;
    const [ax, ay, az] = [ends[i]! - p[0], ends[i + 1]! - p[1], ends[i + 2]! - p[2]];
    const [dx, dy, dz] = [ends[i + 3]! - ends[i]!, ends[i + 4]! - ends[i + 1]!, ends[i + 5]! - ends[i + 2]!];
    const length2 = dx * dx + dy * dy + dz * dz;
    const f = length2 > 0 ? Math.min(1, Math.max(0, -(ax * dx + ay * dy + az * dz) / length2)) : 0;
    const [x, y, z] = [ax + f * dx, ay + f * dy, az + f * dz];
    const away = x * x + y * y + z * z;
    if (away >= least) continue;
    least = away;
    side = isOuter[e] === 1 ? SIDE_OUTER : SIDE_INNER;
  }
  return side;
}

function withoutRepeats(outline: Float32Array): Float64Array {
  const out: number[] = [];
  for (let i = 0, j = outline.length - 3; i < outline.length; j = i, i += 3) {
    if ([0, 1, 2].some((c) => outline[i + c] !== outline[j + c]))
      out.push(outline[i]!, outline[i + 1]!, outline[i + 2]!);
  }
  return Float64Array.from(out);
}

/** Middle distance from the inner sides to the outer ones, each place counting by the area that it stands for. */
function wallOf(loops: readonly SectionLoop[]): number {
  const places = [...innerPlaces(loops)];
  const outer = sidesOf(loops, SIDE_OUTER);
  if (places.length === 0 || outer.length === 0) return 2 * widestCircle(loops.map(({ flat }) => flat)).radiusMm;
  const walls = places.map(({ x, y, lengthMm }) => {
    const wallMm = distanceToSides(outer, x, y);
    return { wallMm, areaMm2: wallMm * lengthMm };
  });
  walls.sort((a, b) => a.wallMm - b.wallMm);
  const half = walls.reduce((sum, { areaMm2 }) => sum + areaMm2, 0) / 2;
  let sum = 0;
  for (const { wallMm, areaMm2 } of walls) {
    sum += areaMm2;
    if (sum >= half) return wallMm;
  }
  return walls.at(-1)!.wallMm;
}

const PLACE_STEP_MM = 1;

function* innerPlaces(loops: readonly SectionLoop[]) {
  for (const { flat, sides } of loops) {
    for (let i = 0; i < sides.length; i++) {
      if (sides[i] !== SIDE_INNER) continue;
      const j = (i + 1) % sides.length;
      const [ax, ay] = [flat[i * 2]!, flat[i * 2 + 1]!];
      const [dx, dy] = [flat[j * 2]! - ax, flat[j * 2 + 1]! - ay];
      const length = Math.hypot(dx, dy);
      const steps = Math.max(1, Math.ceil(length / PLACE_STEP_MM));
      for (let s = 0; s < steps; s++) {
        const f = (s + 0.5) / steps;
        yield { x: ax + f * dx, y: ay + f * dy, lengthMm: length / steps };
      }
    }
  }
}

/** All sides of one kind: num x 4, both ends in the frame of the section. */
export function sidesOf(loops: readonly SectionLoop[], kind: number): Float64Array {
  const out: number[] = [];
  for (const { flat, sides } of loops) {
    for (let i = 0; i < sides.length; i++) {
      const j = (i + 1) % sides.length;
      if (sides[i] === kind) out.push(flat[i * 2]!, flat[i * 2 + 1]!, flat[j * 2]!, flat[j * 2 + 1]!);
    }
  }
  return Float64Array.from(out);
}

/** Distance from a point to the nearest of the sides, mm; Infinity without any. */
export function distanceToSides(sides: Float64Array, x: number, y: number): number {
  let least = Infinity;
  for (let i = 0; i < sides.length; i += 4) {
    const [ax, ay] = [sides[i]! - x, sides[i + 1]! - y];
    const [dx, dy] = [sides[i + 2]! - sides[i]!, sides[i + 3]! - sides[i + 1]!];
    const length2 = dx * dx + dy * dy;
    const f = length2 > 0 ? Math.min(1, Math.max(0, -(ax * dx + ay * dy) / length2)) : 0;
    const [ex, ey] = [ax + f * dx, ay + f * dy];
    least = Math.min(least, ex * ex + ey * ey);
  }
  return Math.sqrt(least);
}
