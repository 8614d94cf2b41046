// Seams of a finished division: which mating face of which piece meets which other piece, where, and along how much of the outside.
import type { Plane } from '../../../geometry/plane.ts';
import { NONE, type Vec3 } from '../../../mesh/mesh.ts';
import type { CutPart, MadeCut } from './exact-division.ts';

/** One connected mating face. Handles of pieces are indices into the parts given. */
export interface SeamFace {
  readonly below: number;
  readonly above: number;
  readonly plane: Plane;
  readonly cut: number;
  /** How far the face leaves its plane at most, mm; 0 for a flat one. */
  readonly bowMm: number;
  readonly areaMm2: number;
  readonly outerMm: number;
  readonly innerMm: number;
  readonly outlines: readonly Float32Array[];
}

export interface SeamFaces {
  readonly seams: readonly SeamFace[];
  /** Per part: sourceTri with cut faces renumbered to -1 - seam. A face triangle that lies on two seams counts to the larger share. */
  readonly sourceTri: readonly Int32Array[];
}

/** Groups the cut faces of all parts into seams. isOuter: per triangle of the shell, 1 when it belongs to its outside.
 *  A cut face below a plane is divided by the later planes of the parts above it: each of its triangles is clipped by them, so that
 *  areas and lengths are exact, also on a bowed face: a later seam lies in its plane where it ends on one. Edges between cut faces count neither as outer nor as inner.
 *  Cost: O(triangles of cut faces x parts that share the plane). Space: that of the parts. */
export function seamFaces(parts: readonly CutPart[], cuts: readonly MadeCut[], isOuter: Uint8Array): SeamFaces {
  const seams: SeamFace[] = [];
  const faces = parts.map((one) => cutFaces(one, isOuter));
  const shares = parts.map((): Share[] => []);
  cuts.forEach(({ plane }, cut) => {
    const belows = partsOnSide(parts, faces, cut, 0);
    const aboves = partsOnSide(parts, faces, cut, 1);
    for (const below of belows) {
      for (const above of aboves) {
        const [under, over] = [faces[below]!.get(cut)!, faces[above]!.get(cut)!];
        const groups = contacts(under, over, { parts, cuts, cut, isAlone: isAlone(parts, aboves, above), plane });
        if (groups.length === 0) continue;
        const mirrored = contacts(over, under, { parts, cuts, cut, isAlone: isAlone(parts, belows, below), plane });
        groups.forEach((group) => {
          const seam = seams.length;
          seams.push({ below, above, plane, cut, bowMm: bowOf(group, plane), ...measured(under, group) });
          for (const piece of group)
            shares[below]!.push({ tri: under.tris[piece.place]!, seam, areaMm2: piece.areaMm2 });
          for (const other of mirrored) {
            if (groups.length > 1 && !liesOn(under, group, other, plane)) continue;
            for (const piece of other)
              shares[above]!.push({ tri: over.tris[piece.place]!, seam, areaMm2: piece.areaMm2 });
          }
        });
      }
    }
  });
  return { seams, sourceTri: parts.map((one, i) => withSeams(one.part.sourceTri, shares[i]!)) };
}

function partsOnSide(
  parts: readonly CutPart[],
  faces: readonly Map<number, CutFace>[],
  cut: number,
  side: 0 | 1,
): number[] {
  return parts.flatMap((one, i) =>
    faces[i]!.has(cut) && one.path.some((step) => step.cut === cut && step.side === side) ? [i] : [],
  );
}

/** The connected pieces of `face` that touch the part of `other`, leaving out what is only rounding. */
function contacts(
  face: CutFace,
  other: CutFace,
  by: {
    readonly parts: readonly CutPart[];
    readonly cuts: readonly MadeCut[];
    readonly cut: number;
    /** Whether no other part was made by the same planes as `other`. */
    readonly isAlone: boolean;
    readonly plane: Plane;
  },
): ClippedTriangle[][] {
  const later = laterPlanes(other.part, by.cuts, by.cut);
  const pieces = clippedFace(face, { later, mate: by.isAlone ? null : other, plane: by.plane });
  return connectedPieces(face, pieces).filter(
    (group) => group.reduce((sum, piece) => sum + piece.areaMm2, 0) >= LEAST_SEAM_MM2,
  );
}

/** Whether the largest piece of `other` has its middle on a group of `face`. */
function liesOn(
  face: CutFace,
  group: readonly ClippedTriangle[],
  other: readonly ClippedTriangle[],
  plane: Plane,
): boolean {
  const largest = other.reduce((best, piece) => (piece.areaMm2 > best.areaMm2 ? piece : best));
  return isOnFace({ ...face, tris: group.map((piece) => face.tris[piece.place]!) }, middleOf(largest.corners), plane);
}

interface Share {
  readonly tri: number;
  readonly seam: number;
  readonly areaMm2: number;
}

/** Cut faces renumbered to seams: each triangle to the seam with the largest share in it; a seam left without one then takes the
 *  triangle in which its share is largest, of a seam that has others. */
function withSeams(source: Int32Array, shares: readonly Share[]): Int32Array {
  const out = source.slice();
  const ownArea = new Map<number, number>();
  const count = new Map<number, number>();
  for (const { tri, seam, areaMm2 } of shares) {
    if (areaMm2 <= (ownArea.get(tri) ?? 0)) continue;
    ownArea.set(tri, areaMm2);
    out[tri] = -1 - seam;
  }
  for (const tri of ownArea.keys()) count.set(-1 - out[tri]!, (count.get(-1 - out[tri]!) ?? 0) + 1);
  const byArea = [...shares].sort((a, b) => b.areaMm2 - a.areaMm2);
  for (const { tri, seam } of byArea) {
    const owner = -1 - out[tri]!;
    if (count.has(seam) || (count.get(owner) ?? 0) < 2) continue;
    out[tri] = -1 - seam;
    count.set(seam, 1);
    count.set(owner, count.get(owner)! - 1);
  }
  return out;
}

/** The triangles of one part's cut face on one plane. */
interface CutFace {
  readonly part: CutPart;
  /** Triangle handles in the part's mesh. */
  readonly tris: readonly number[];
  /** 3 per triangle, for the edge from corner c to the next: EDGE_* or the place in `tris` of the triangle across. */
  readonly across: Int32Array;
}

const EDGE_OUTER = -2;
const EDGE_INNER = -3;
const EDGE_CUT = -4;

function cutFaces(one: CutPart, isOuter: Uint8Array): Map<number, CutFace> {
  const { mesh, sourceTri } = one.part;
  const t = mesh.triangles;
  const numVerts = mesh.positions.length / 3;
  const faces = new Map<number, { tris: number[] }>();
  const edges = new Map<number, number>();
  for (let tri = 0; tri < sourceTri.length; tri++) {
    if (sourceTri[tri]! > NONE) continue;
    const cut = -1 - sourceTri[tri]!;
    const face = faces.get(cut) ?? { tris: [] };
    faces.set(cut, face);
    face.tris.push(tri);
    for (let c = 0; c < 3; c++) edges.set(t[tri * 3 + c]! * numVerts + t[tri * 3 + ((c + 1) % 3)]!, -1);
  }
  const isOnFace = new Uint8Array(numVerts);
  for (const face of faces.values())
    for (const tri of face.tris) for (let c = 0; c < 3; c++) isOnFace[t[tri * 3 + c]!] = 1;
  for (let tri = 0; tri < sourceTri.length; tri++) {
    for (let c = 0; c < 3; c++) {
      const a = t[tri * 3 + c]!;
      const b = t[tri * 3 + ((c + 1) % 3)]!;
      if (isOnFace[a] === 0 || isOnFace[b] === 0) continue;
      const key = b * numVerts + a;
      if (edges.has(key)) edges.set(key, tri);
    }
  }
  const out = new Map<number, CutFace>();
  for (const [cut, { tris }] of faces) {
    const placeOf = new Map(tris.map((tri, i) => [tri, i]));
    const across = new Int32Array(tris.length * 3);
    tris.forEach((tri, i) => {
      for (let c = 0; c < 3; c++) {
        const other = edges.get(t[tri * 3 + c]! * numVerts + t[tri * 3 + ((c + 1) % 3)]!) ?? -1;
        const source = other < 0 ? NONE : sourceTri[other]!;
        if (source >= 0) across[i * 3 + c] = isOuter[source] === 1 ? EDGE_OUTER : EDGE_INNER;
        else across[i * 3 + c] = placeOf.get(other) ?? EDGE_CUT;
      }
    });
    out.set(cut, { part: one, tris, across });
  }
  return out;
}

interface HalfSpace {
  readonly normal: Vec3;
  readonly offsetMm: number;
  /** 1 keeps what lies above. */
  readonly side: 0 | 1;
}

function laterPlanes(part: CutPart, cuts: readonly MadeCut[], index: number): HalfSpace[] {
  const at = part.path.findIndex((step) => step.cut === index);
  return part.path.slice(at + 1).map((step) => ({ ...cuts[step.cut]!.plane, side: step.side }));
}

/** Whether no other part of the list was made by the same planes: such parts differ by being apart, not by a plane. */
function isAlone(parts: readonly CutPart[], list: readonly number[], one: number): boolean {
  const key = pathKey(parts[one]!);
  return list.every((other) => other === one || pathKey(parts[other]!) !== key);
}

function pathKey(part: CutPart): string {
  return part.path.map((step) => `${step.cut}:${step.side}`).join(' ');
}

/** What is left of one face triangle: a convex polygon. edgeOf: per corner, the triangle edge (0 to 2) its outgoing side lies on,
 *  or -1 when a plane cut it. */
interface ClippedTriangle {
  readonly place: number;
  readonly corners: readonly Vec3[];
  readonly edgeOf: readonly number[];
  readonly areaMm2: number;
}

function clippedFace(
  face: CutFace,
  by: { readonly later: readonly HalfSpace[]; readonly mate: CutFace | null; readonly plane: Plane },
): ClippedTriangle[] {
  const { mesh } = face.part.part;
  const out: ClippedTriangle[] = [];
  face.tris.forEach((tri, place) => {
    let corners: Vec3[] = [0, 1, 2].map((c) => {
      const v = mesh.triangles[tri * 3 + c]! * 3;
      return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
    });
    let edgeOf = [0, 1, 2];
    for (const half of by.later) {
      [corners, edgeOf] = clipped(corners, edgeOf, half);
      if (corners.length < 3) return;
    }
    const areaMm2 = polygonArea(corners);
    if (areaMm2 <= 0) return;
    if (by.mate !== null && !isOnFace(by.mate, middleOf(corners), by.plane)) return;
    out.push({ place, corners, edgeOf, areaMm2 });
  });
  return out;
}

function clipped(corners: readonly Vec3[], edgeOf: readonly number[], half: HalfSpace): [Vec3[], number[]] {
  const outCorners: Vec3[] = [];
  const outEdges: number[] = [];
  const heights = corners.map((p) => heightOver(p, half));
  for (let i = 0; i < corners.length; i++) {
    const j = (i + 1) % corners.length;
    const a = heights[i]!;
    const b = heights[j]!;
    if (a >= 0) {
      outCorners.push(corners[i]!);
      outEdges.push(edgeOf[i]!);
    }
    if (a >= 0 !== b >= 0) {
      const f = a / (a - b);
      const [p, q] = [corners[i]!, corners[j]!];
      outCorners.push([p[0] + f * (q[0] - p[0]), p[1] + f * (q[1] - p[1]), p[2] + f * (q[2] - p[2])]);
      outEdges.push(a >= 0 ? -1 : edgeOf[i]!);
    }
  }
  return [outCorners, outEdges];
}

function heightOver(p: Vec3, half: HalfSpace): number {
  const h = p[0] * half.normal[0] + p[1] * half.normal[1] + p[2] * half.normal[2] - half.offsetMm;
  return half.side === 1 ? h : -h;
}

function polygonArea(corners: readonly Vec3[]): number {
  let [x, y, z] = [0, 0, 0];
  const o = corners[0]!;
  for (let i = 1; i + 1 < corners.length; i++) {
    const [p, q] = [corners[i]!, corners[i + 1]!];
    const u: Vec3 = [p[0] - o[0], p[1] - o[1], p[2] - o[2]];
    const v: Vec3 = [q[0] - o[0], q[1] - o[1], q[2] - o[2]];
    x += u[1] * v[2] - u[2] * v[1];
    y += u[2] * v[0] - u[0] * v[2];
    z += u[0] * v[1] - u[1] * v[0];
  }
  return Math.hypot(x, y, z) / 2;
}

function middleOf(corners: readonly Vec3[]): Vec3 {
  let [x, y, z] = [0, 0, 0];
  for (const p of corners) {
    x += p[0];
    y += p[1];
    z += p[2];
  }
  return [x / corners.length, y / corners.length, z / corners.length];
}

/** Whether a point lies on a face as both are seen along the plane's normal (with a little room for rounding). */
function isOnFace(face: CutFace, p: Vec3, plane: Plane): boolean {
  const { mesh } = face.part.part;
  const [nx, ny, nz] = plane.normal;
  return face.tris.some((tri) => {
    let negative = false;
    let positive = false;
    for (let c = 0; c < 3; c++) {
      const a = mesh.triangles[tri * 3 + c]! * 3;
      const b = mesh.triangles[tri * 3 + ((c + 1) % 3)]! * 3;
      const ex = mesh.positions[b]! - mesh.positions[a]!;
      const ey = mesh.positions[b + 1]! - mesh.positions[a + 1]!;
      const ez = mesh.positions[b + 2]! - mesh.positions[a + 2]!;
      const qx = p[0] - mesh.positions[a]!;
      const qy = p[1] - mesh.positions[a + 1]!;
      const qz = p[2] - mesh.positions[a + 2]!;
      const turn = nx * (ey * qz - ez * qy) + ny * (ez * qx - ex * qz) + nz * (ex * qy - ey * qx);
      if (turn < -1e-9) negative = true;
      if (turn > 1e-9) positive = true;
    }
    return !(negative && positive);
  });
}

const LEAST_CONTACT_MM = 1e-6;
/** Less is rounding: two pieces that meet in an edge only. */
const LEAST_SEAM_MM2 = 1e-5;

function connectedPieces(face: CutFace, pieces: readonly ClippedTriangle[]): ClippedTriangle[][] {
  const pieceAt = new Map(pieces.map((piece, i) => [piece.place, i]));
  const done = new Uint8Array(pieces.length);
  const groups: ClippedTriangle[][] = [];
  for (let seed = 0; seed < pieces.length; seed++) {
    if (done[seed] === 1) continue;
    done[seed] = 1;
    const group = [pieces[seed]!];
    for (let head = 0; head < group.length; head++) {
      const piece = group[head]!;
      piece.edgeOf.forEach((edge, i) => {
        if (edge < 0 || sideLength(piece, i) < LEAST_CONTACT_MM) return;
        const next = pieceAt.get(face.across[piece.place * 3 + edge]!);
        if (next === undefined || done[next] === 1) return;
        done[next] = 1;
        group.push(pieces[next]!);
      });
    }
    groups.push(group);
  }
  return groups;
}

function sideLength(piece: ClippedTriangle, i: number): number {
  const a = piece.corners[i]!;
  const b = piece.corners[(i + 1) % piece.corners.length]!;
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

function measured(
  face: CutFace,
  group: readonly ClippedTriangle[],
): Pick<SeamFace, 'areaMm2' | 'outerMm' | 'innerMm' | 'outlines'> {
  let areaMm2 = 0;
  let outerMm = 0;
  let innerMm = 0;
  const inGroup = new Set(group.map((piece) => piece.place));
  const rim: [Vec3, Vec3][] = [];
  for (const piece of group) {
    areaMm2 += piece.areaMm2;
    piece.edgeOf.forEach((edge, i) => {
      const across = edge < 0 ? EDGE_CUT : face.across[piece.place * 3 + edge]!;
      if (across >= 0 && inGroup.has(across)) return;
      if (across === EDGE_OUTER) outerMm += sideLength(piece, i);
      if (across === EDGE_INNER) innerMm += sideLength(piece, i);
      rim.push([piece.corners[i]!, piece.corners[(i + 1) % piece.corners.length]!]);
    });
  }
  return { areaMm2, outerMm, innerMm, outlines: chained(rim) };
}

function bowOf(group: readonly ClippedTriangle[], { normal, offsetMm }: Plane): number {
  let most = 0;
  for (const { corners } of group)
    for (const p of corners)
      most = Math.max(most, Math.abs(p[0] * normal[0] + p[1] * normal[1] + p[2] * normal[2] - offsetMm));
  return most < ROUNDING_MM ? 0 : most;
}

/** A flat face is as flat as its coordinates can say. */
const ROUNDING_MM = 1e-6;

/** Rim sides chained to closed outlines by their ends, joined within a thousandth of a millimetre. */
function chained(rim: readonly [Vec3, Vec3][]): Float32Array[] {
  const keyOf = (p: Vec3) => p.map((v) => Math.round(v * 1000)).join(',');
  const startsAt = new Map<string, number[]>();
  rim.forEach(([a], i) => {
    const key = keyOf(a);
    const list = startsAt.get(key);
    if (list === undefined) startsAt.set(key, [i]);
    else list.push(i);
  });
  const used = new Uint8Array(rim.length);
  const out: Float32Array[] = [];
  for (let seed = 0; seed < rim.length; seed++) {
    if (used[seed] === 1) continue;
    const loop: number[] = [];
    let at: number | undefined = seed;
    while (at !== undefined && used[at] === 0) {
      used[at] = 1;
      loop.push(...rim[at]![0]);
      at = startsAt.get(keyOf(rim[at]![1]))?.find((i) => used[i] === 0);
    }
    if (loop.length >= 9) out.push(Float32Array.from(loop));
  }
  return out;
}
