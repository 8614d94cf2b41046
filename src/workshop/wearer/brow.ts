// At which height a tape would go round the head inside the shell.
import { closedInnerOutline, type InnerOutline, innerOutline } from '../../geometry/inner-outline.ts';
import { sectionByPlane } from '../../geometry/plane-section.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { BROW_BELOW_TOP_SHARE } from '../facts/heads.ts';
import type { ModelRecord } from '../process/model-record.ts';

export interface Brow {
  /** Height above the foot, mm, model space at the size of the file. */
  readonly browMm: number;
  readonly outline: InnerOutline;
}

/** Steps in which the height is searched, as a share of the whole height; then halved down to a hundredth of that. */
const STEP_SHARE = 0.01;

/** The brow lies just above the face opening: at the lowest height above the middle of that opening where the inner outline is a
 *  closed ring again. Without a face opening, at 35 percent of the height below the top. Null when no inner outline is there.
 *  Cost: some 40 sections. Method and source: docs/methods/inner-girth.md. Weak: a wearer whose eyes sit low or high in the
 *  opening has the brow elsewhere; the setting browFromTopMm overrides it. */
export function findBrow(model: ModelRecord, mesh: Mesh): Brow | null {
  const heightMm = model.sizeMm[2];
  const front = model.openings.find((opening) => opening.name === 'front');
  const usual = (1 - BROW_BELOW_TOP_SHARE) * heightMm;
  if (front === undefined) return browAt(mesh, usual);
  const from = front.centreMm[2];
  const stepMm = STEP_SHARE * heightMm;
  for (let z = from; z < heightMm; z += stepMm) {
    if (closedAt(mesh, z) === null) continue;
    return z === from ? browAt(mesh, usual) : lowestClosed(mesh, z - stepMm, z);
  }
  return browAt(mesh, usual);
}

/** The inner outline at a height, closed or cut. */
export function browAt(mesh: Mesh, browMm: number): Brow | null {
  const outline = innerOutline(sectionByPlane(mesh, { normal: [0, 0, 1], offsetMm: browMm }));
  return outline === null ? null : { browMm, outline };
}

function closedAt(mesh: Mesh, z: number): InnerOutline | null {
  return closedInnerOutline(sectionByPlane(mesh, { normal: [0, 0, 1], offsetMm: z }));
}

function lowestClosed(mesh: Mesh, openMm: number, closedMm: number): Brow | null {
  let [low, high] = [openMm, closedMm];
  for (let halving = 0; halving < 7; halving++) {
    const middle = (low + high) / 2;
    if (closedAt(mesh, middle) === null) low = middle;
    else high = middle;
  }
  const outline = closedAt(mesh, high);
  return outline === null ? null : { browMm: high, outline };
}
