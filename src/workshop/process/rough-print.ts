// How long a piece would print, before it is cut or laid: good for comparing divisions, never for planning.

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
/** Contours laid along every surface, and the share of what lies behind them that is filled. The ordinary print settings. */
const CONTOURS_MM = 1.35;
const INFILL = 0.1;
/** Seconds a cubic millimetre of wall and a gram of support: what the chapter Printing took for the demo helm and the shared shell in
 *  divisions with little and with much support (docs/methods/division-search.md); other speeds scale all divisions alike. */
const WALL_S_A_MM3 = 0.3;
const SUPPORT_S_A_G = 170;

/** Seconds, rough: within a fifth of Printing's own figures on the shells it was taken from. */
export function roughPrintS({ areaMm2, thickMm, supportG }: RoughPiece): number {
  const walls = Math.min(thickMm, CONTOURS_MM) + INFILL * Math.max(0, thickMm - CONTOURS_MM);
  return START_S + WALL_S_A_MM3 * areaMm2 * walls + SUPPORT_S_A_G * supportG;
}

/** A print fails about once in so many hours, and then begins again. Common practice, no source: a setting of the workshop would need
 *  its own log. */
const HOURS_A_FAILURE = 100;

/** Hours of the machine until a print of this length has succeeded: M (e^(T/M) - 1), failures falling evenly over time (mean time
 *  between them M). A print of 10 hours costs half an hour more than itself, one of 40 costs 9. */
export function hoursWithRisk(printS: number): number {
  return HOURS_A_FAILURE * Math.expm1(printS / 3600 / HOURS_A_FAILURE);
}
