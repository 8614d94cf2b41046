// A closed, smooth, lopsided body standing on the bed, made from a few numbers, for laws of printing.
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { sphere } from './printing-shapes.ts';

/** waves: amplitude (share of the radius, up to about 0.1) and phase of each wave. */
export function blob(radiusMm: number, waves: readonly (readonly [number, number])[], rows = 40): Mesh {
  const base = sphere(radiusMm, rows, rows + 7);
  const positions = base.positions.slice();
  let lowest = Infinity;
  for (let i = 0; i < positions.length; i += 3) {
    const [x, y, z] = [positions[i]! / radiusMm, positions[i + 1]! / radiusMm, positions[i + 2]! / radiusMm - 1];
    let factor = 1;
    for (const [j, [size, phase]] of waves.entries())
      factor += size * Math.sin((j + 1) * (x * Math.cos(phase) + y * Math.sin(phase)) * 1.7 + z * (j + 2) + phase);
    positions[i] = x * factor * radiusMm;
    positions[i + 1] = y * factor * radiusMm;
    positions[i + 2] = z * factor * radiusMm;
    lowest = Math.min(lowest, positions[i + 2]!);
  }
  for (let i = 2; i < positions.length; i += 3) positions[i]! -= lowest;
  return meshOf(positions, base.triangles);
}
