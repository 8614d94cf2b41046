// How a piece may lie on a machine: faces it can stand on, turned until it fits, best to print first.

import { flatPlaces } from '../../../geometry/flat-places.ts';
import { planeFrame } from '../../../geometry/plane.ts';
import type { SolidWork } from '../../../geometry/solid/solid.ts';
import { type SurfaceSamples, surfaceSamples } from '../../../geometry/surface-patches.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import { roomOn, uprightStand } from '../../../geometry/upright-stand.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
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
  for (const { normal } of flatPlaces(hull).slice(0, HULL_FACES)) add(normal, 'hull face');
  return out;
}

function poseOn(
  mesh: Mesh,
  hull: Mesh,
  down: RestingFace,
  room: { readonly bed: Bed; readonly marginMm: number },
): FittingPose | null {
  const up: Vec3 = [-down.normal[0], -down.normal[1], -down.normal[2]];
  const stand = uprightStand(mesh, hull.positions, up, roomOn(room.bed.bedMm, room.marginMm));
  return stand === null ? null : { machine: room.bed.id, ...stand, lies: down.lies };
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
