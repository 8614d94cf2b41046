// What is to be laid on beds: one kind for each piece and one for its loose splices, as often as the build is printed.

import { partOfWork } from '../../base/work.ts';
import { shadowOutline } from '../../geometry/shadow-outline.ts';
import { invertTransform, transformMesh } from '../../mesh/transform.ts';
import { SPLICES } from '../process/beds-record.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import type { MachinePrint, PrintingRecord } from '../process/printing-record.ts';

export interface BedItem {
  readonly piece: string;
  /** As laid by Printing. */
  readonly loops: readonly Float64Array[];
  readonly on: readonly MachinePrint[];
  readonly filamentG: number;
  readonly supportG: number;
  readonly filamentM: number;
  readonly unsteady: number;
}

/** Pieces in their order, then splices. Cost: one pass over the triangles of all pieces. */
export function bedItems(
  { joints, printing }: { readonly joints: Pick<JointsRecord, 'pieces'>; readonly printing: PrintingRecord },
  work: ChapterWork,
): readonly BedItem[] {
  const items = printing.prints.map((print, index): BedItem => {
    const piece = joints.pieces.find(({ id }) => id === print.piece)!;
    const laid = transformMesh(invertTransform(print.toModel), work.meshes.get(piece.mesh));
    const part = partOfWork(work, index / printing.prints.length, (index + 1) / printing.prints.length);
    const { on, filamentG, supportG, filamentM, unsteady } = print;
    return { piece: print.piece, loops: shadowOutline(laid, {}, part), on, filamentG, supportG, filamentM, unsteady };
  });
  const { splices } = printing;
  if (splices === null) return items;
  const { on, filamentG, supportG, filamentM } = splices;
  const [wide, deep] = splices.sizeMm;
  const loops = [Float64Array.of(0, 0, wide, 0, wide, deep, 0, deep)];
  return [...items, { piece: SPLICES, loops, on, filamentG, supportG, filamentM, unsteady: 0 }];
}
