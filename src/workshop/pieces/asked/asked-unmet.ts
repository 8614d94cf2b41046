// What is asked and cannot be met: told with the reason, the measure, the limit, the place and what to try.

import { type Refusal, refuse } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import { evenDirections } from '../../../geometry/half-sphere-directions.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import { cross, dot, minus, plus, scaled } from '../../../geometry/three-by-three.ts';
import { halfEdgeTwins } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE, type Vec3 } from '../../../mesh/mesh.ts';
import { askedWords } from '../../process/asked-seams.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import type { CutPart } from '../cut/exact-division.ts';
import { type Division, searchDivisions } from '../search/division-search.ts';
import type { DivisionTask } from '../search/proxy-part.ts';
import { isOver, type WornArea } from './asked-areas.ts';
import type { DivideSettings } from './asked-at-size.ts';

/** How much of an area kept clear is crossed. */
export interface AreaCrossed {
  readonly area: WornArea;
  readonly mm: number;
  /** In the middle of what crosses it, worn. */
  readonly atMm: Vec3;
}

/** So little may be the doing of rounding. */
const CROSSED_MM = 0.5;

/** The area that is crossed most by the seams of these parts, or null where none is. Measured on the cut edges of the parts that face the
 *  way of the area. Cost: O(n) where areas are asked for. */
export function clearCrossed(parts: readonly CutPart[], areas: readonly WornArea[]): AreaCrossed | null {
  if (areas.length === 0) return null;
  let most: AreaCrossed | null = null;
  const sums = areas.map(() => ({ mm: 0, sum: [0, 0, 0] as Vec3 }));
  for (const { part } of parts) addCrossed(part, areas, sums);
  for (const [i, { mm, sum }] of sums.entries()) {
    // both sides of a seam have its edge
    if (mm / 2 > CROSSED_MM && mm / 2 > (most?.mm ?? 0))
      most = { area: areas[i]!, mm: mm / 2, atMm: scaled(sum, 1 / mm) };
  }
  return most;
}

function addCrossed(
  { mesh, sourceTri }: MeshPart,
  areas: readonly WornArea[],
  sums: { mm: number; sum: Vec3 }[],
): void {
  if (sourceTri.every((source) => source >= 0)) return;
  const twins = halfEdgeTwins(mesh);
  const t = mesh.triangles;
  for (let h = 0; h < twins.length; h++) {
    const twin = twins[h]!;
    if (sourceTri[(h / 3) | 0]! >= 0 || twin === NONE) continue;
    const tri = (twin / 3) | 0;
    if (sourceTri[tri]! < 0) continue;
    const a = vertAt(mesh, t[h]!);
    const b = vertAt(mesh, t[h % 3 === 2 ? h - 2 : h + 1]!);
    const middle = scaled(plus(a, b), 0.5);
    const facing = facingOf(mesh, tri);
    for (const [i, area] of areas.entries()) {
      if (dot(facing, area.n) <= 0 || !isOver(area, middle)) continue;
      const mm = Math.hypot(...minus(b, a));
      const so = sums[i]!;
      so.mm += mm;
      so.sum = plus(so.sum, scaled(middle, mm));
    }
  }
}

function vertAt({ positions: p }: Mesh, vert: number): Vec3 {
  return [p[vert * 3]!, p[vert * 3 + 1]!, p[vert * 3 + 2]!];
}

function facingOf(mesh: Mesh, tri: number): Vec3 {
  const [a, b, c] = [0, 1, 2].map((k) => vertAt(mesh, mesh.triangles[tri * 3 + k]!)) as [Vec3, Vec3, Vec3];
  return cross(minus(b, a), minus(c, a));
}

export function clearUnmet({ area, mm, atMm }: AreaCrossed, scale: number): Refusal {
  return refuse(
    'PIECES_CLEAR_UNMET',
    `Every division found crosses ${askedWords('clear', area.index).toLowerCase()}, the best one by ${mm.toFixed(0)} mm; nothing may cross it.`,
    { where: { path: `pieces.asked.clear.${area.index}`, space: 'model', atMm: scaled(atMm, 1 / scale) } },
  );
}

/** Whether it is a machine asked for that leaves no division: told by looking for one without. Null where that is not the reason. */
export function machineUnmet(
  task: DivisionTask,
  start: Division,
  by: { readonly settings: DivideSettings; readonly work: ChapterWork },
): Refusal | null {
  const { settings, work } = by;
  const { machines } = settings.demands;
  if (machines.length === 0) return null;
  const unclaimed = { ...task, claims: [], supports: new Map() };
  const free = searchDivisions(unclaimed, evenDirections(3), partOfWork(work, 0.6, 0.9), start);
  const division = free.complete[0];
  if (division === undefined) return null;
  const sizes = machines.map((machine, i) => {
    const { sample } = task.claims[i]!;
    const piece = division.leaves.find(({ samples }) => samples.includes(sample));
    return { machine, longestMm: piece?.need.longestMm ?? 0 };
  });
  const { machine, longestMm } = sizes.reduce((one, other) => (other.longestMm > one.longestMm ? other : one));
  const { id, bedMm } = settings.beds[machine.bed]!;
  const room = bedMm.map((side, axis) => side - (axis === 2 ? 1 : 2) * settings.marginMm);
  return refuse(
    'PIECES_MACHINE_UNMET',
    `${askedWords('machines', machine.index)} cannot be met within ${settings.mostPieces} pieces: without it the piece there is up to ${longestMm.toFixed(0)} mm long, and the bed of ${id} leaves ${room.map((mm) => mm.toFixed(0)).join(' x ')} mm.`,
    {
      where: {
        path: `pieces.asked.machines.${machine.index}`,
        space: 'model',
        atMm: scaled(machine.atMm, 1 / settings.scale),
      },
    },
  );
}
