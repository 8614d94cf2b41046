// Puts meshes side by side in rows, so that a 3MF of a whole kit shows every piece and none inside another.
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';

/** Shifts (mm, to 0.001) that bring each mesh's smallest corner to its own place in rows along X, with `gapMm` between
 *  bounding boxes and everything in positive X, Y and Z. Order is kept. Rows are about as long as all of them are deep. */
export function spreadShifts(meshes: readonly Mesh[], gapMm: number): Vec3[] {
  const boxes = meshes.map(boxOf);
  const area = boxes.reduce((sum, b) => sum + (b.size[0] + gapMm) * (b.size[1] + gapMm), 0);
  const widest = boxes.reduce((most, b) => Math.max(most, b.size[0]), 0);
  const rowMm = Math.max(widest, Math.sqrt(area) * 1.15);
  const shifts: Vec3[] = [];
  let x = 0;
  let y = 0;
  let deep = 0;
  for (const { min, size } of boxes) {
    if (x > 0 && x + size[0] > rowMm) {
      x = 0;
      y += deep + gapMm;
      deep = 0;
    }
    shifts.push([upToMicron(x - min[0]), upToMicron(y - min[1]), upToMicron(-min[2])]);
    x += size[0] + gapMm;
    deep = Math.max(deep, size[1]);
  }
  return shifts;
}

function boxOf(mesh: Mesh): { min: Vec3; size: Vec3 } {
  const { positions } = mesh;
  if (positions.length === 0) return { min: [0, 0, 0], size: [0, 0, 0] };
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    const c = i % 3;
    min[c] = Math.min(min[c]!, positions[i]!);
    max[c] = Math.max(max[c]!, positions[i]!);
  }
  return { min: [min[0]!, min[1]!, min[2]!], size: [max[0]! - min[0]!, max[1]! - min[1]!, max[2]! - min[2]!] };
}

/** Rounded up, so that nothing falls below zero; + 0 turns -0 into 0. */
function upToMicron(mm: number): number {
  return Math.ceil(mm * 1000) / 1000 + 0;
}
