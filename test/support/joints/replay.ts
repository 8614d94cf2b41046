// Assembling replayed with the meshes themselves: each group travels its straight way, and how deep anything stands in anything is measured.
import { scaled } from '../../../src/geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';
import type { Join } from '../../../src/workshop/process/joints-record.ts';
import { type CollisionBody, collisionBody } from '../collision/collision-body.ts';
import { deepest } from '../collision/deepest.ts';
import { place } from './poses.ts';

/** How far a group still is from its place, mm: dense where keys meet, then to beyond the largest piece. */
export const REPLAY_STEPS_MM = [300, 150, 80, 40, 20, 12, 9, 7, 5, 3, 1.5, 0.5, 0];

export interface Met {
  readonly mm: number;
  readonly atMm: Vec3 | null;
  readonly moving: string;
  readonly fixed: string;
  readonly beforeMm: number;
}

/** The deepest of all steps of all joins. Cost: joins x pairs x steps x deepest. */
export function replay(
  order: readonly Join[],
  meshOf: (piece: string) => Mesh,
  stepsMm: readonly number[] = REPLAY_STEPS_MM,
): Met {
  const bodies = new Map<string, CollisionBody>();
  const bodyOf = (piece: string): CollisionBody => {
    const body = bodies.get(piece) ?? collisionBody(meshOf(piece));
    bodies.set(piece, body);
    return body;
  };
  let worst: Met = { mm: 0, atMm: null, moving: '', fixed: '', beforeMm: 0 };
  for (const join of order)
    for (const moving of join.moving)
      for (const fixed of join.onto)
        for (const beforeMm of stepsMm) {
          const there = place(scaled(join.towards, -beforeMm));
          const met = deepest(bodyOf(moving), there, bodyOf(fixed), place([0, 0, 0]));
          if (met.mm > worst.mm) worst = { ...met, moving, fixed, beforeMm };
        }
  return worst;
}
