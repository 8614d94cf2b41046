// How much more support a piece needs for its keys.

import type { Work } from '../../../base/work.ts';
import { supportColumns } from '../../../geometry/support-columns.ts';
import { bounds } from '../../../mesh/measure.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import { transformMesh } from '../../../mesh/transform.ts';
import type { FittingPose } from '../../process/pieces-record.ts';
import { PrintSettings } from '../../process/print-settings.ts';

/** Space under overhangs of the keyed piece in a pose, less that under those of the piece as it was cut, lying the same way on its own lowest point, mm3;
 *  support fills a share of it. Never below 0. Cost: two passes over the triangles and some hundred tests for each part of an overhang.
 *  Method: docs/methods/support-columns.md, with its weakness: no bridges. */
export function keySupport(plain: Mesh, keyed: Mesh, toLaid: FittingPose['toLaid'], work: Work): number {
  const [before, now] = [plain, keyed].map((mesh) => {
    const laid = transformMesh(toLaid, mesh);
    const lowest = bounds(laid).minMm[2];
    const onBed = transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, -lowest], laid);
    return supportColumns(onBed, { limitDeg: LIMIT_DEG }, work).volumeMm3;
  }) as [number, number];
  return Math.max(0, now - before);
}

/** As Printing has it by default. */
const LIMIT_DEG = PrintSettings.parse({}).overhangLimitDeg;
