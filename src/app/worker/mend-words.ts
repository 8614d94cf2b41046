// The few words beside a number in the figure that say what was mended there.
import type { MendKind } from '../../geometry/mend/mend-step.ts';
import type { ModelRecord } from '../../workshop/process/model-record.ts';

export const MEND_WORDS: Readonly<Record<MendKind, string>> = {
  'triangles-flat-removed': 'flat triangles',
  'triangles-double-removed': 'double triangles',
  'vertices-joined': 'points joined',
  'edges-split': 'edges split',
  'triangles-turned': 'triangles turned',
  'edges-parted': 'edges parted',
  'points-parted': 'points parted',
  'holes-filled': 'holes filled',
  'shells-turned': 'shells turned',
  'crumbs-removed': 'crumbs removed',
  'shells-united': 'shells united',
  'crossings-patched': 'crossings patched',
  'sheets-thickened': 'given a wall',
  'surface-rebuilt': 'built anew',
};

export function wasMended({ mended }: ModelRecord): boolean {
  return mended.steps.length > 0 || mended.deviation !== null;
}
