// Which piece each pose asked for belongs to, and why one cannot be: places that were told, found again on the pieces.
import { type Finding, finding } from '../../base/findings.ts';
import { angleDeg, scaled } from '../../geometry/three-by-three.ts';
import { missingRoom, roomOn } from '../../geometry/upright-stand.ts';
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoint } from '../../mesh/closest-point.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';
import { ASTRAY_MM } from '../process/asked-joints.ts';
import type { AskedPose } from '../process/asked-poses.ts';
import type { Key } from '../process/joints-record.ts';
import { MOST_DOWN } from '../process/key-reach.ts';
import type { PrintingMachine } from '../process/machine.ts';
import type { Piece } from '../process/pieces-record.ts';

/** A mark this near the asked place is that of the same piece, mm: nothing was divided anew. */
const SAME_MARK_MM = 0.5;

/** Per piece the last wish that lies on it, by its place in the list, or null. `scale`: worn over unscaled. Findings: POSE_ASTRAY.
 *  Cost: nothing where the pieces are those that were asked of; else a tree of each piece. */
export function askedOfPieces(
  asked: readonly AskedPose[],
  pieces: readonly Pick<Piece, 'mesh' | 'mark'>[],
  by: { readonly scale: number; readonly meshes: Pick<MeshStore, 'get'> },
): { readonly wishes: readonly (number | null)[]; readonly findings: readonly Finding[] } {
  const wishes: (number | null)[] = pieces.map(() => null);
  const findings: Finding[] = [];
  for (const [index, wish] of asked.entries()) {
    const atMm = scaled(wish.atMm, by.scale);
    const { piece, apartMm } = nearestPiece(atMm, pieces, by.meshes);
    if (apartMm <= ASTRAY_MM) wishes[piece] = index;
    else
      findings.push(
        finding(
          'POSE_ASTRAY',
          `The place by which a pose was asked for lies on no piece; the nearest is ${apartMm.toFixed(0)} mm from it.`,
          {
            where: { path: `poses.asked.${index}`, space: 'worn', atMm },
            measured: apartMm,
            limit: ASTRAY_MM,
            unit: 'mm',
          },
        ),
      );
  }
  return { wishes, findings };
}

function nearestPiece(
  atMm: Vec3,
  pieces: readonly Pick<Piece, 'mesh' | 'mark'>[],
  meshes: Pick<MeshStore, 'get'>,
): { readonly piece: number; readonly apartMm: number } {
  const marks = pieces.map(({ mark }) => Math.hypot(...atMm.map((v, c) => v - mark.atMm[c]!)));
  const nearest = marks.indexOf(Math.min(...marks));
  if (marks[nearest]! < SAME_MARK_MM) return { piece: nearest, apartMm: 0 };
  const apart = pieces.map(
    ({ mesh }) => closestPoint(buildBoundingTree(meshes.get(mesh)), atMm)?.distanceMm ?? Infinity,
  );
  const apartMm = Math.min(...apart);
  return { piece: apart.indexOf(apartMm), apartMm };
}

/** POSE_UNMET, told with what stands in the way of this way up: a key, else room. `outer`: points whose hull is that of the piece. */
export function poseUnmet(
  { id, mark }: Pick<Piece, 'id' | 'mark'>,
  wish: { readonly index: number; readonly up: Vec3 },
  by: {
    readonly keys: readonly Key[];
    readonly machines: readonly PrintingMachine[];
    readonly marginMm: number;
    readonly outer: Float64Array;
  },
): Finding {
  const where = { path: `poses.asked.${wish.index}`, space: 'worn', atMm: mark.atMm, piece: id } as const;
  const down: Vec3 = [-wish.up[0], -wish.up[1], -wish.up[2]];
  const fromDown = by.keys.map(({ into }) => angleDeg(into, down));
  const steepest = Math.min(...fromDown);
  const limitDeg = (Math.acos(MOST_DOWN) * 180) / Math.PI;
  if (steepest <= limitDeg)
    return finding(
      'POSE_UNMET',
      `Piece ${id} cannot lie as you asked: a ${by.keys[fromDown.indexOf(steepest)]!.kind} would reach down, ${steepest.toFixed(0)} degrees from straight down. It lies as it prints best.`,
      { where, measured: steepest, limit: limitDeg, unit: 'deg' },
    );
  const missing = by.machines.map(({ bedMm }) => missingRoom(by.outer, wish.up, roomOn(bedMm, by.marginMm)));
  const missingMm = Math.min(...missing);
  return finding(
    'POSE_UNMET',
    `Piece ${id} cannot lie as you asked: it is ${missingMm < 0.1 ? 'a little' : `${missingMm.toFixed(1)} mm`} too large for the ${by.machines.length === 1 ? 'machine' : 'roomiest of its machines'} that way. It lies as it prints best.`,
    { where, measured: missingMm, limit: 0, unit: 'mm' },
  );
}
