// What glue does: drops, gaps, times. Sources and grades: docs/facts.md.

export type GlueGrade = 'thin' | 'medium' | 'thick';

export interface GlueFacts {
  /** Widest gap it fills, mm. */
  readonly gapMm: number;
  /** Between laying a drop and pressing, s. */
  readonly openS: number;
  readonly holdS: number;
}

/** Cyanoacrylate by its flow. Gaps: a handbook of adhesive technology (2, 10 and 20 thousandths of an inch). Times: common practice, no
 *  source; a data sheet gives 2 to 10 s to a first hold on ABS, and printed faces are rougher than its plates. */
export const GLUE_GRADES: Readonly<Record<GlueGrade, GlueFacts>> = {
  thin: { gapMm: 0.05, openS: 15, holdS: 15 },
  medium: { gapMm: 0.25, openS: 60, holdS: 30 },
  thick: { gapMm: 0.5, openS: 120, holdS: 60 },
};

/** A drop from a fine tip, g. The same handbook: an ounce makes 1,875 bonds of a square inch, and 167 drops weigh a gram. */
export const DROP_G = 0.006;
/** Half an inch from drop to drop. Common practice, no source. */
export const DROP_SPACING_MM = 12.7;
/** One drop, set and looked at, s. Common practice, no source. */
export const DROP_S = 1.5;
/** With activator a drop holds after so long, s. Common practice, no source. */
export const ACTIVATED_HOLD_S = 8;
/** Until cyanoacrylate has its strength, s: 8 to 24 h by two data sheets. */
export const GLUE_CURE_S = 24 * 3600;

/** Flexible solvent-based craft adhesive: handled after 30 to 60 minutes, cured after 24 to 72 hours. Common practice, no source. */
export const BEAD_HANDLING_S = 3600;
export const BEAD_CURE_H = 72;
/** g/cm3 as it leaves the tube. From memory, no sheet seen; solvent leaves it, so the dry bead is smaller. */
export const BEAD_DENSITY_G_CM3 = 0.9;
/** Laying and smoothing, mm/s. Common practice, no source. */
export const BEAD_MM_S = 5;

/** Taking support and strings off one piece, minutes. Common practice, no source. */
export const SUPPORT_MIN = 10;

/** Hands, all common practice, no source: taking up paper and piece, each square centimetre of a face, closing a joint, a strip of tape, a
 *  dry fit, a tack with a hot tool, a small part set into its seat, the tube brought to a seam. */
export const HANDS = {
  sandStartS: 30,
  sandSCm2: 6,
  closeS: 60,
  tapeS: 10,
  fitS: 120,
  tackS: 15,
  smallPartS: 60,
  beadStartS: 20,
} as const;
