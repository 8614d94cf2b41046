// What is laid in each layer: lengths of contour passes, closing area, infill and support, before anybody asks how fast.
import { partOfWork, type Work } from '../../base/work.ts';
import { closingAreas } from '../../geometry/closing-areas.ts';
import { type LayerMeasures, layerMeasures } from '../../geometry/layer-measures.ts';
import { type SupportColumns, supportColumns } from '../../geometry/support-columns.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { PrintSettings } from '../process/print-settings.ts';

/** Per layer. Lines are lineMm wide and fill layer height x lineMm (a rectangle) a mm. */
export interface LayerLines {
  readonly measures: LayerMeasures;
  /** Length of the outermost pass and of the others together, mm. */
  readonly outerMm: Float64Array;
  readonly innerMm: Float64Array;
  /** Passes of which anything is laid. */
  readonly numPasses: Uint32Array;
  /** Area left inside the passes, and how much of it is closed, mm2. */
  readonly restMm2: Float64Array;
  readonly closingMm2: Float64Array;
  /** Lines of infill, closing and support, mm. */
  readonly infillLineMm: Float64Array;
  readonly closingLineMm: Float64Array;
  readonly supportLineMm: Float64Array;
  /** Mean length of a straight line across what is filled sparsely, what is closed, and the support, mm. */
  readonly spanMm: Float64Array;
  readonly closingSpanMm: Float64Array;
  readonly supportSpanMm: Float64Array;
  readonly columns: SupportColumns;
}

/** Share of a line's width by which merged contour moves may leave the contour. */
const MERGE_SHARE = 1 / 20;
/** Support is laid in blocks no wider than this, mm. */
const WIDEST_SUPPORT_MM = 40;

/** Lays out a closed mesh standing on z = 0 (laid space, mm). Formulas: docs/methods/print-time.md.
 *  Cost: one sweep of the layers, one pass over the facets for tops and bottoms, one for support unless it is known. */
export function layOutLayers(mesh: Mesh, print: PrintSettings, work: Work, known?: SupportColumns): LayerLines {
  const { layerMm, firstLayerMm, lineMm } = print;
  const measures = layerMeasures(
    mesh,
    { firstMm: firstLayerMm, stepMm: layerMm, mergeMm: lineMm * MERGE_SHARE },
    partOfWork(work, 0, 0.75),
  );
  const open = closingAreas(
    mesh,
    {
      middleMm: measures.middleMm,
      numClosing: print.closingLayers,
      stepMm: layerMm,
      edgeMm: lineMm * print.contourPasses,
    },
    partOfWork(work, 0.75, 0.8),
  );
  const columns = known ?? supportColumns(mesh, { limitDeg: print.overhangLimitDeg }, partOfWork(work, 0.8, 1));
  return linesOf(measures, open, columns, print);
}

function linesOf(
  measures: LayerMeasures,
  open: Float64Array,
  columns: SupportColumns,
  print: PrintSettings,
): LayerLines {
  const num = measures.numLayers;
  const { lineMm } = print;
  const zeros = () => new Float64Array(num);
  const [outerMm, innerMm, restMm2, closingMm2] = [zeros(), zeros(), zeros(), zeros()];
  const [infillLineMm, closingLineMm, supportLineMm] = [zeros(), zeros(), zeros()];
  const [spanMm, closingSpanMm, supportSpanMm] = [zeros(), zeros(), zeros()];
  const numPasses = new Uint32Array(num);
  const supportMm3 = columnsByLayer(columns, measures.bottomMm);
  for (let k = 0; k < num; k++) {
    const passes = passLengths(measures, k, print);
    outerMm[k] = passes.outerMm;
    innerMm[k] = passes.innerMm;
    numPasses[k] = passes.num;
    restMm2[k] = passes.restMm2;
    closingMm2[k] = Math.min(passes.restMm2, open[k]!);
    closingLineMm[k] = closingMm2[k]! / lineMm;
    infillLineMm[k] = ((restMm2[k]! - closingMm2[k]!) * print.infillPercent) / 100 / lineMm;
    const inside = { restMm2: passes.restMm2, boundaryMm: passes.insideMm, lineMm };
    spanMm[k] = spanOfPart(restMm2[k]! - closingMm2[k]!, inside);
    closingSpanMm[k] = spanOfPart(closingMm2[k]!, inside);
    const heldMm2 = supportMm3[k]! / (measures.bottomMm[k + 1]! - measures.bottomMm[k]!);
    supportLineMm[k] = (heldMm2 * print.supportPercent) / 100 / lineMm;
    supportSpanMm[k] = Math.max(lineMm, Math.min(WIDEST_SUPPORT_MM, Math.sqrt(heldMm2)));
  }
  return {
    measures,
    outerMm,
    innerMm,
    numPasses,
    restMm2,
    closingMm2,
    infillLineMm,
    closingLineMm,
    supportLineMm,
    spanMm,
    closingSpanMm,
    supportSpanMm,
    columns,
  };
}

/** Pass i runs i - 1/2 line widths inside the contour: P - (i - 1/2) w * insetLoss long, until the area of the
 *  section is used up. */
function passLengths(measures: LayerMeasures, k: number, print: PrintSettings) {
  const { lineMm } = print;
  const whole = measures.lengthMm[k]!;
  const perWidth = measures.insetLoss[k]! * lineMm;
  let restMm2 = Math.max(0, measures.areaMm2[k]!);
  let [outerMm, innerMm, num] = [0, 0, 0];
  for (let i = 1; i <= print.contourPasses && restMm2 > 0; i++) {
    const wanted = Math.max(0, whole - perWidth * (i - 0.5));
    if (wanted === 0) break;
    const lengthMm = Math.min(wanted, restMm2 / lineMm);
    restMm2 = lengthMm < wanted ? 0 : restMm2 - lengthMm * lineMm;
    if (i === 1) outerMm = lengthMm;
    else innerMm += lengthMm;
    num = i;
  }
  return { outerMm, innerMm, num, restMm2, insideMm: Math.max(0, whole - perWidth * print.contourPasses) };
}

/** Gaps narrower than this share of a line are filled the less the narrower they are. */
const NARROWEST_SHARE = 1 / 4;

/** Mean chord of a region of this area and boundary length, pi A / P (Cauchy); where the region is a gap narrower than a
 *  quarter of a line, that of such a gap. */
function spanAcross(areaMm2: number, boundaryMm: number, lineMm: number): number {
  const least = (Math.PI / 2) * NARROWEST_SHARE * lineMm;
  const mean = boundaryMm > 0 ? (Math.PI * areaMm2) / boundaryMm : Math.sqrt(areaMm2);
  return Math.max(least, mean);
}

/** Mean chord of a part of what is left inside: a band along all of its boundary, as at a crown, but no narrower than a line or the gap itself; what
 *  would be narrower fills the gap across on a part of its length, as in a thin wall. */
function spanOfPart(
  areaMm2: number,
  inside: { readonly restMm2: number; readonly boundaryMm: number; readonly lineMm: number },
): number {
  const { restMm2, boundaryMm, lineMm } = inside;
  const across = Math.min(spanAcross(restMm2, boundaryMm, lineMm), (Math.PI / 2) * lineMm);
  return Math.max(spanAcross(areaMm2, boundaryMm, lineMm), across);
}

/** Volume of the columns within each layer, mm3; what stands above the last layer is left out.
 *  Cost: O(columns + layers) by differences. */
export function columnsByLayer(columns: SupportColumns, bottomMm: Float64Array): Float64Array {
  const num = bottomMm.length - 1;
  const volume = new Float64Array(Math.max(0, num));
  if (num <= 0) return volume;
  const step = new Float64Array(num + 1);
  const begin = new Int32Array(num + 1);
  const first = bottomMm[1]!;
  const stepMm = num > 1 ? bottomMm[2]! - first : first;
  const layerAt = (z: number): number => (z < first ? 0 : Math.min(num, 1 + Math.floor((z - first) / stepMm)));
  for (let i = 0; i < columns.num; i++) {
    const from = columns.bottomMm[i]!;
    const to = Math.min(columns.topMm[i]!, bottomMm[num]!);
    if (to <= from) continue;
    const area = columns.areaMm2[i]!;
    const low = Math.min(num - 1, layerAt(from));
    const high = Math.min(num - 1, layerAt(to));
    step[low]! += area;
    step[high + 1]! -= area;
    begin[low]!++;
    begin[high + 1]!--;
    volume[low]! -= area * (from - bottomMm[low]!);
    volume[high]! -= area * (bottomMm[high + 1]! - to);
  }
  let held = 0;
  let numHeld = 0;
  for (let k = 0; k < num; k++) {
    held += step[k]!;
    numHeld += begin[k]!;
    // what sums and differences leave over is no support: the head would travel to it
    volume[k] = numHeld === 0 ? 0 : Math.max(0, volume[k]! + held * (bottomMm[k + 1]! - bottomMm[k]!));
  }
  return volume;
}
