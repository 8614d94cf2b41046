// What must hold of a key's solids, measured apart from how they were drawn: points all over the key against the piece that receives it.
import { expect } from 'vitest';
import { selfCrossings } from '../../../src/geometry/crossings/self-crossings.ts';
import { dot, minus, plus, scaled } from '../../../src/geometry/three-by-three.ts';
import { buildBoundingTree } from '../../../src/mesh/bounding-tree.ts';
import { closestPoint } from '../../../src/mesh/closest-point.ts';
import { volume } from '../../../src/mesh/measure.ts';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../src/mesh/topology.ts';
import type { KeyGround } from '../../../src/workshop/pieces/joints/key-ground.ts';
import type { KeySolids } from '../../../src/workshop/pieces/joints/key-solids.ts';
import { collisionBody, isInside } from '../collision/collision-body.ts';
import { testKernel } from '../kernel.ts';

const kernel = await testKernel();

/** Vertices, middles of sides and of triangles, each once. */
export function pointsOf({ positions: p, triangles: t }: Mesh): Vec3[] {
  const at = (v: number): Vec3 => [p[v * 3]!, p[v * 3 + 1]!, p[v * 3 + 2]!];
  const out = Array.from({ length: p.length / 3 }, (_, v) => at(v));
  for (let i = 0; i < t.length; i += 3) {
    const corners = [t[i]!, t[i + 1]!, t[i + 2]!];
    out.push(scaled(corners.map(at).reduce(plus), 1 / 3));
    corners.forEach((v, k) => {
      const next = corners[(k + 1) % 3]!;
      if (v < next) out.push(scaled(plus(at(v), at(next)), 0.5));
    });
  }
  return out;
}

/** Every solid of it is closed, faces outward and crosses itself nowhere. */
export function expectSound({ carrier, receiver, loose }: KeySolids): void {
  const solids = [...carrier.add, ...carrier.cut, ...receiver.add, ...receiver.cut, ...(loose === null ? [] : [loose])];
  expect(solids.length).toBeGreaterThan(0);
  for (const solid of solids) {
    expect(surfaceCheck(solid).closed).toBe(true);
    expect(volume(solid)).toBeGreaterThan(0);
    const { pairs, flat } = selfCrossings(solid);
    expect({ pairs, flat }).toEqual({ pairs: 0, flat: 0 });
  }
}

export interface Fit {
  /** Least distance between the key beyond the seam and its receiver, seated and on the way in. */
  readonly seatedMm: number;
  readonly onTheWayMm: number;
  /** Points of the key found inside the receiver. */
  readonly inside: number;
  /** Least wall left outside of what is cut from the receiver; Infinity when nothing is. */
  readonly skinMm: number;
}

/** Moves the key out against `into` in five steps. On flat seams. */
export function fitOf({ key, carrier, receiver, loose }: KeySolids, ground: KeyGround): Fit {
  const plain = ground.pieces.get(key.receiver)!.mesh;
  const met = kernel.combine(plain, receiver.add, receiver.cut).mesh;
  const [tree, body] = [buildBoundingTree(met), collisionBody(met)];
  const fit = { seatedMm: Infinity, onTheWayMm: Infinity, inside: 0, skinMm: Infinity };
  for (const place of pointsOf(loose ?? carrier.add[0]!)) {
    if (dot(minus(place, key.atMm), key.into) < 1e-6) continue;
    for (let step = 0; step <= 5; step++) {
      const moved = minus(place, scaled(key.into, (step * (key.reachMm + 1)) / 5));
      const away = closestPoint(tree, moved, 1)?.distanceMm ?? 1;
      fit.onTheWayMm = Math.min(fit.onTheWayMm, away);
      if (step === 0) fit.seatedMm = Math.min(fit.seatedMm, away);
      if (step !== 5 && isInside(body, moved)) fit.inside++;
    }
  }
  const wall = collisionBody(plain);
  for (const cut of receiver.cut)
    for (const place of pointsOf(cut))
      if (isInside(wall, place)) fit.skinMm = Math.min(fit.skinMm, closestPoint(ground.outside, place)!.distanceMm);
  return fit;
}
