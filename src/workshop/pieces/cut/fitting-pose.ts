// How a piece may lie on a machine: faces it can stand on, turned until it fits, best to print first.

import { convexOutline, fitRectangle } from '../../../geometry/min-rectangle.ts';
import { planeFrame } from '../../../geometry/plane.ts';
import type { SolidWork } from '../../../geometry/solid/solid.ts';
import { type SurfaceSamples, surfaceSamples } from '../../../geometry/surface-patches.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import type { Transform } from '../../../mesh/transform.ts';
import type { FittingPose } from '../../process/pieces-record.ts';
import { supportEstimate } from '../../process/support-estimate.ts';
import type { Bed } from '../pieces-settings.ts';
import { columnsUnder, STANDING } from '../search/sample-support.ts';

export interface PoseOptions {
  readonly beds: readonly Bed[];
  readonly marginMm: number;
  /** Outward normals of the piece's mating faces. */
  readonly matingFaces: readonly Vec3[];
  /** Whether this way (unit, of the piece) may be down; any may unless told. */
  readonly isAllowed?: (down: Vec3) => boolean;
}

/** Poses are at most this many, best first. */
export const MOST_POSES = 10;

/** All decent poses in which a piece fits a bed, best first; empty when it fits none.
 *  Standing on: each mating face, the largest flat places of its hull, the levels of the model; and tilted from mating faces and
 *  levels in steps of 15 degrees where that takes clearly less support. About the vertical any turn.
 *  The box is that of positions rounded to single precision, as they are written.
 *  Cost: hull of the piece, then triangles x poses. Method: docs/methods/fitting-pose.md. */
export function fittingPoses(mesh: Mesh, work: SolidWork, options: PoseOptions): FittingPose[] {
  const hull = work.solid.hull(mesh.positions);
  const found: Standing[] = [];
  let samples: SurfaceSamples | null = null;
  const stand = (down: RestingFace) => {
    for (const bed of options.beds) {
      work.tick(0, 'laying the pieces');
      const pose = poseOn(mesh, hull, down, { bed, marginMm: options.marginMm });
      if (pose === null) continue;
      samples ??= surfaceSamples(mesh, work, { aimNum: POSE_SAMPLES });
      found.push(standingOf(mesh, samples, pose));
    }
  };
  const { isAllowed = () => true } = options;
  const faces = restingFaces(hull, options.matingFaces).filter(({ normal }) => isAllowed(normal));
  for (const face of faces) stand(face);
  if (found.length === 0 || samples === null) return [];
  const least = Math.min(...found.map((one) => one.underMm3));
  const enough = found.length + MOST_POSES / 2;
  const tried = tiltedFaces(samples, faces, CLEARLY_LESS * least);
  for (const face of tried) if (found.length < enough && isAllowed(face.normal)) stand(face);
  found.sort((a, b) => a.score - b.score);
  return found.slice(0, MOST_POSES).map((one) => one.pose);
}

interface Standing {
  readonly pose: FittingPose;
  readonly underMm3: number;
  /** Lower is better. */
  readonly score: number;
}

const POSE_SAMPLES = 2000;
/** A tilted piece stands on an edge and needs support to stand at all: it must save this much to be worth it. */
const CLEARLY_LESS = 0.7;
const TILTS_DEG = [-60, -45, -30, -15, 15, 30, 45, 60] as const;
/** Tilts whose fit is looked at. */
const MOST_TILTED = 24;

/** The even directions of the search, and mating faces and levels tilted about two axes lying in them, with less than `mostMm3` under overhangs; least first. */
function tiltedFaces(samples: SurfaceSamples, faces: readonly RestingFace[], mostMm3: number): RestingFace[] {
  const all = Int32Array.from({ length: samples.num }, (_, i) => i);
  const tried: { face: RestingFace; underMm3: number }[] = [];
  const look = (down: Vec3) => {
    if (faces.some((known) => dot(known.normal, down) > 0.9962)) return;
    if (tried.some((known) => dot(known.face.normal, down) > 0.9962)) return;
    const underMm3 = columnsUnder(samples, all, [-down[0], -down[1], -down[2]]);
    tried.push({ face: { normal: down, lies: 'hull face' }, underMm3 });
  };
  for (const down of STANDING) look(down);
  for (const { normal, lies } of faces) {
    if (lies === 'hull face') continue;
    const { u, v } = planeFrame(normal);
    for (const side of [u, v]) {
      for (const deg of TILTS_DEG) {
        const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
        look([c * normal[0] + s * side[0], c * normal[1] + s * side[1], c * normal[2] + s * side[2]]);
      }
    }
  }
  const good = tried.filter((one) => one.underMm3 < mostMm3).sort((a, b) => a.underMm3 - b.underMm3);
  return good.slice(0, MOST_TILTED).map((one) => one.face);
}

interface RestingFace {
  readonly normal: Vec3;
  readonly lies: FittingPose['lies'];
}

const HULL_FACES = 6;
const LEVELS: readonly Vec3[] = [
  [0, 0, -1],
  [0, 0, 1],
  [0, 1, 0],
  [0, -1, 0],
  [1, 0, 0],
  [-1, 0, 0],
];

function restingFaces(hull: Mesh, matingFaces: readonly Vec3[]): RestingFace[] {
  const out: RestingFace[] = [];
  const add = (normal: Vec3, lies: FittingPose['lies']) => {
    if (!out.some((known) => dot(known.normal, normal) > 0.9998)) out.push({ normal, lies });
  };
  for (const normal of matingFaces) add(normal, 'mating face');
  for (const normal of LEVELS) add(normal, 'level');
  for (const normal of flatPlaces(hull)) add(normal, 'hull face');
  return out;
}

/** Normals of the largest flat places of a hull: its faces gathered within 3 degrees of the largest one left. */
function flatPlaces(hull: Mesh): Vec3[] {
  const { positions: p, triangles: t } = hull;
  const faces: { normal: Vec3; area: number }[] = [];
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [t[i]! * 3, t[i + 1]! * 3, t[i + 2]! * 3];
    const u: Vec3 = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const v: Vec3 = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const length = Math.hypot(n[0], n[1], n[2]);
    if (length > 0) faces.push({ normal: [n[0] / length, n[1] / length, n[2] / length], area: length / 2 });
  }
  faces.sort((a, b) => b.area - a.area);
  const gathered: { normal: Vec3; area: number }[] = [];
  for (const face of faces.slice(0, 400)) {
    const home = gathered.find((known) => dot(known.normal, face.normal) > 0.9986);
    if (home === undefined) gathered.push({ ...face });
    else home.area += face.area;
  }
  gathered.sort((a, b) => b.area - a.area);
  return gathered.slice(0, HULL_FACES).map((one) => one.normal);
}

function poseOn(
  mesh: Mesh,
  hull: Mesh,
  down: RestingFace,
  room: { readonly bed: Bed; readonly marginMm: number },
): FittingPose | null {
  const width = room.bed.bedMm[0] - 2 * room.marginMm;
  const depth = room.bed.bedMm[1] - 2 * room.marginMm;
  const height = room.bed.bedMm[2] - room.marginMm;
  const up: Vec3 = [-down.normal[0], -down.normal[1], -down.normal[2]];
  const { u, v } = planeFrame(up);
  const flat = new Float64Array((hull.positions.length / 3) * 2);
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < hull.positions.length; i += 3) {
    const q: Vec3 = [hull.positions[i]!, hull.positions[i + 1]!, hull.positions[i + 2]!];
    const z = dot(q, up);
    if (z < low) low = z;
    if (z > high) high = z;
    flat[(i / 3) * 2] = dot(q, u);
    flat[(i / 3) * 2 + 1] = dot(q, v);
  }
  if (high - low > height) return null;
  const fit = fitRectangle(convexOutline(flat), width, depth);
  if (fit.roomMm < 0) return null;
  const cos = Math.cos(fit.angleRad);
  const sin = Math.sin(fit.angleRad);
  const x: Vec3 = [cos * u[0] + sin * v[0], cos * u[1] + sin * v[1], cos * u[2] + sin * v[2]];
  const y: Vec3 = [cos * v[0] - sin * u[0], cos * v[1] - sin * u[1], cos * v[2] - sin * u[2]];
  const { toLaid, sizeMm } = laid(mesh, [x[0], y[0], up[0], x[1], y[1], up[1], x[2], y[2], up[2]]);
  if (sizeMm[0] > width || sizeMm[1] > depth || sizeMm[2] > height) return null;
  return { machine: room.bed.id, toLaid, sizeMm, lies: down.lies };
}

/** The shift that brings the smallest corner to 0,0,0, and the box of the positions as single precision holds them. */
function laid(mesh: Mesh, turn: readonly number[]): { toLaid: Transform; sizeMm: Vec3 } {
  const p = mesh.positions;
  const t = Float64Array.from(turn);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < p.length; i += 3) {
    for (let c = 0; c < 3; c++) {
      const q = p[i]! * t[c]! + p[i + 1]! * t[3 + c]! + p[i + 2]! * t[6 + c]!;
      if (q < low[c]!) low[c] = q;
      if (q > high[c]!) high[c] = q;
    }
  }
  const toLaid = [...turn, -low[0]!, -low[1]!, -low[2]!];
  const sizeMm: Vec3 = [
    Math.fround(high[0]! - low[0]!),
    Math.fround(high[1]! - low[1]!),
    Math.fround(high[2]! - low[2]!),
  ];
  return { toLaid, sizeMm };
}

/** Score: mm3 of plastic and its like: support, a charge for tall pieces on little footing, and height itself. */
function standingOf(mesh: Mesh, samples: SurfaceSamples, pose: FittingPose): Standing {
  const { overhangMm2, restsMm2 } = supportEstimate(mesh, pose.toLaid, 45);
  const up: Vec3 = [pose.toLaid[2]!, pose.toLaid[5]!, pose.toLaid[8]!];
  const all = Int32Array.from({ length: samples.num }, (_, i) => i);
  const underMm3 = columnsUnder(samples, all, up);
  const [x, y, z] = pose.sizeMm;
  const footing = Math.sqrt(Math.max(restsMm2, 0.002 * x * y));
  const tippy = Math.max(0, z / footing - 6) * 400;
  return { pose, underMm3, score: 0.12 * underMm3 + 0.6 * overhangMm2 + tippy + 20 * z };
}
