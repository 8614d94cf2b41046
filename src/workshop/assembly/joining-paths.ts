// Replays the joins: does each group get to its place without meeting what is there already?
import { closingMeetings } from '../../geometry/closing-overlap.ts';
import { centreOfMass } from '../../mesh/measure.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { PathMeeting } from '../process/assembly-record.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { Join, Joint, JointsRecord, LoosePart } from '../process/joints-record.ts';

/** What goes along with each piece: its own body and the loose parts that were glued into it before. */
export type Bodies = ReadonlyMap<string, readonly Mesh[]>;

/** Each loose part goes with the piece that carries the nearest key of its seam. */
export function bodiesOf(record: JointsRecord, work: ChapterWork): Bodies {
  const bodies = new Map<string, Mesh[]>(record.pieces.map(({ id, mesh }) => [id, [work.meshes.get(mesh)]]));
  for (const part of record.loose) {
    if (part.mesh === null) continue;
    const mesh = work.meshes.get(part.mesh);
    bodies.get(carrierOf(part, record.joints, centreOfMass(mesh)) ?? '')?.push(mesh);
  }
  return bodies;
}

/** The piece into which the part is glued first; null when its seam has no keys. */
function carrierOf({ seam }: LoosePart, joints: readonly Joint[], middle: Vec3): string | null {
  const keys = joints.find((joint) => joint.seam === seam)?.keys ?? [];
  const away = (at: Vec3): number => Math.hypot(at[0] - middle[0], at[1] - middle[1], at[2] - middle[2]);
  const nearest = keys.reduce<(typeof keys)[number] | null>(
    (best, key) => (best === null || away(key.atMm) < away(best.atMm) ? key : best),
    null,
  );
  return nearest?.carrier ?? null;
}

/** Contact that prints let pass: a tenth of a line's width, mm. */
export const CONTACT_MM = 0.02;

/** What the moving group of a join meets on its straight way from far away; worst first, empty when the way is free.
 *  Cost: docs/methods/assembly-order.md. */
export function pathMeetings(join: Join, bodies: Bodies, work: ChapterWork): PathMeeting[] {
  const moving = bodyList(join.moving, bodies);
  const fixed = bodyList(join.onto, bodies);
  const meets = closingMeetings(
    moving.map(({ mesh }) => mesh),
    fixed.map(({ mesh }) => mesh),
    join.towards,
    { toleranceMm: CONTACT_MM, work },
  );
  return meets.map((meeting) => ({
    moving: moving[meeting.moving]!.piece,
    fixed: fixed[meeting.fixed]!.piece,
    depthMm: meeting.depthMm,
    atMm: meeting.atMm,
    beforeMm: meeting.beforeMm,
  }));
}

function bodyList(pieces: readonly string[], bodies: Bodies): { readonly piece: string; readonly mesh: Mesh }[] {
  return pieces.flatMap((piece) => (bodies.get(piece) ?? []).map((mesh) => ({ piece, mesh })));
}
