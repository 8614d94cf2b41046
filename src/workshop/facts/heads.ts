// Measures of heads, and the rule of the ring. Sources: docs/facts.md and test/reference/head-*.json.

/** Smallest and largest head circumference a shell is sized for, mm: children from about 5 years to beyond the largest adult of
 *  the survey used (635 mm). */
export const HEAD_CIRCUMFERENCE_MM = { least: 450, most: 680 } as const;

/** Air or padding on every side that is usual between head and shell, mm. Common practice, no source. */
export const USUAL_CLEARANCE_MM = 8;

/** Where a shell shows no face opening, the brow is taken at this share of its height below its top. Common practice, no source. */
export const BROW_BELOW_TOP_SHARE = 0.35;

/** What a clearance all round adds to a closed convex tape, mm: 2 pi times the clearance, whatever the shape (Steiner's formula
 *  for parallel curves). 8 mm add 50.27 mm. */
export function ringMm(clearanceMm: number): number {
  return 2 * Math.PI * clearanceMm;
}
