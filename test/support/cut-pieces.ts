// Pieces of a shell for judging prints: what lies in boxes of random size and place, each the largest part, standing on z = 0.
import type { ManifoldToplevel } from 'manifold-3d';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';

export interface CutOptions {
  readonly count: number;
  readonly sideMm: readonly [number, number];
}

/** Closed pieces with flat feet or edges as the box cut them; as many as asked. */
export function cutPieces(shell: Mesh, random: () => number, module: ManifoldToplevel, options: CutOptions): Mesh[] {
  const { positions, triangles } = shell;
  const whole = new module.Manifold(
    new module.Mesh({ numProp: 3, vertProperties: Float32Array.from(positions), triVerts: triangles }),
  );
  const pieces: Mesh[] = [];
  while (pieces.length < options.count) {
    const v = 3 * Math.floor((random() * positions.length) / 3);
    const sides = [0, 1, 2].map(() => options.sideMm[0] + random() * (options.sideMm[1] - options.sideMm[0]));
    const low = sides.map((side, axis) => positions[v + axis]! - side * (0.3 + 0.4 * random()));
    const box = module.Manifold.cube(sides as [number, number, number]).translate(low as [number, number, number]);
    const inside = whole.intersect(box);
    const parts = inside.decompose();
    const largest = parts.reduce((most, part) => (part.volume() > most.volume() ? part : most), parts[0]!);
    if (parts.length > 0 && largest.volume() > 2000) pieces.push(standing(largest.getMesh()));
    for (const solid of [box, inside, ...parts]) solid.delete();
  }
  whole.delete();
  return pieces;
}

function standing(mesh: ReturnType<InstanceType<ManifoldToplevel['Manifold']>['getMesh']>): Mesh {
  const numVert = mesh.vertProperties.length / mesh.numProp;
  const vertOf = Uint32Array.from({ length: numVert }, (_, v) => v);
  mesh.mergeFromVert?.forEach((from, i) => {
    vertOf[from] = mesh.mergeToVert![i]!;
  });
  const low = [0, 1, 2].map((axis) => {
    let least = Infinity;
    for (let i = axis; i < mesh.vertProperties.length; i += mesh.numProp)
      least = Math.min(least, mesh.vertProperties[i]!);
    return least;
  });
  const positions = new Float64Array(numVert * 3);
  for (let v = 0; v < numVert; v++)
    for (let axis = 0; axis < 3; axis++)
      positions[3 * v + axis] = mesh.vertProperties[v * mesh.numProp + axis]! - low[axis]!;
  return meshOf(
    positions,
    Uint32Array.from(mesh.triVerts, (v) => vertOf[v]!),
  );
}
