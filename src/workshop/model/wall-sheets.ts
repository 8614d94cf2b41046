// Sheets without thickness are given a wall inward; closed shells beside them stay as they are.
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { partOfWork, type Work } from '../../base/work.ts';
import type { MendStep } from '../../geometry/mend/mend-step.ts';
import type { Deviation } from '../../geometry/mend/rebuild/deviation.ts';
import { thickenSheet } from '../../geometry/mend/rebuild/thicken-sheet.ts';
import { judgeShells, partOfShells } from '../../geometry/mend/shells.ts';
import { together } from '../../mesh/builders.ts';
import { bounds, sizeOf } from '../../mesh/measure.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { millimetres } from './words.ts';

export interface WalledSheets {
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
  readonly deviation: Deviation;
  readonly cellMm: number;
}

/** A wall is made with at least so many cells across it, and a sheet with no more than so many along its longest side. */
const CELLS_ACROSS = 3;
const MOST_CELLS_ALONG = 420;
/** A sheet is at least so many walls long. */
const LEAST_WALLS = 4;

/** All open shells of the mesh as one sheet, facing outward, with `wallMm` of wall behind it. Refuses what thickening refuses. */
export function wallSheets(mesh: Mesh, wallMm: number, work: Work): Outcome<WalledSheets> {
  const judged = judgeShells(mesh, partOfWork(work, 0, 0.1));
  const of = (wanted: 'sheet' | 'closed'): ReadonlySet<number> =>
    new Set([...judged.shells.keys()].filter((s) => (judged.shells[s]!.role === 'sheet') === (wanted === 'sheet')));
  const sheets = of('sheet');
  const sheet = partOfShells(mesh, judged, sheets);
  const sizeMm = Math.max(...sizeOf(bounds(sheet)));
  if (sizeMm < LEAST_WALLS * wallMm) return tooSmall(sizeMm, wallMm);
  const cellMm = Math.max(wallMm / CELLS_ACROSS, sizeMm / MOST_CELLS_ALONG);
  const walled = thickenSheet(sheet, { wallMm, cellMm }, partOfWork(work, 0.1, 1));
  if (!walled.ok)
    return { ...walled, tryThis: 'Give it a thicker wall, or name the unit of the file if it is another.' };
  const rest = of('closed');
  const step: MendStep = { kind: 'sheets-thickened', count: sheets.size, largestMm: wallMm, atMm: null };
  return done({
    mesh: rest.size === 0 ? walled.value.mesh : together([partOfShells(mesh, judged, rest), walled.value.mesh]),
    steps: [step],
    deviation: walled.value.deviation,
    cellMm,
  });
}

function tooSmall(sizeMm: number, wallMm: number): Refusal {
  return refuse(
    'MESH_SHEET',
    `The sheet is ${millimetres(sizeMm)} at its largest, which leaves no room for a wall of ${millimetres(wallMm)}; it takes ${millimetres(LEAST_WALLS * wallMm)}.`,
    { tryThis: 'Name the unit of the file (--unit), or a thinner wall.', where: { path: 'model' } },
  );
}
