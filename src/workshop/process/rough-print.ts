// How long a piece would print, before it is cut or laid: good for comparing divisions, never for planning.
import { hoursToSuccess, ORDINARY_HOURS_A_FAILURE } from './failure-risk.ts';

/** What is known of a piece that does not exist yet. */
export interface RoughPiece {
  /** Both sides of a wall. */
  readonly areaMm2: number;
  /** Volume of the model over its area: half the wall of a shell. */
  readonly thickMm: number;
  readonly supportG: number;
}

/** Heating, first layer, taking off. Common practice, no source. */
const START_S = 600;
/** Contours laid along every surface. The ordinary print settings. */
const CONTOURS_MM = 1.35;
/** Seconds a square millimetre of surface with its contours, the closing layers and the turns of the infill behind it, where the wall has
 *  room for them; a cubic millimetre of what lies behind the contours, sparsely filled; and a gram of support: what the chapter Printing
 *  took for a helm, a skull and a solid boot (docs/methods/division-search.md). Other speeds scale all divisions alike. */
const SURFACE_S_A_MM2 = 0.36;
const INSIDE_S_A_MM3 = 0.014;
const SUPPORT_S_A_G = 200;

/** Seconds, rough: within a tenth of Printing's own figures on those models, given their support. */
export function roughPrintS({ areaMm2, thickMm, supportG }: RoughPiece): number {
  const surfaceS = SURFACE_S_A_MM2 * Math.min(1, thickMm / CONTOURS_MM);
  const insideS = INSIDE_S_A_MM3 * Math.max(0, thickMm - CONTOURS_MM);
  return START_S + areaMm2 * (surfaceS + insideS) + SUPPORT_S_A_G * supportG;
}

/** Hours of the machine until a print of this length has succeeded, at the ordinary rate: one of 10 hours costs half an hour more than itself, one of
 *  40 costs 9. First layers fail alike in every division of as many pieces, and are left out. */
export function hoursWithRisk(printS: number): number {
  return hoursToSuccess(printS / 3600, { hoursAFailure: ORDINARY_HOURS_A_FAILURE, firstLayerShare: 0, firstLayerH: 0 });
}
