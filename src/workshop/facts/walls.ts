// How thin a printed wall may be. Sources: docs/facts.md.

/** Thinnest wall that prints reliably with a 0.4 mm nozzle, mm: two contour passes. Print services' design guides say 0.8. */
export const THINNEST_WALL_MM = 0.8;

/** Thinnest wall that a nozzle prints reliably: two contour passes, each as wide as the nozzle, mm. */
export function thinnestWallMm(nozzleMm: number): number {
  return 2 * nozzleMm;
}

/** Wall that a sheet is given unless the maker says otherwise, mm. Common practice, no source. */
export const USUAL_WALL_MM = 3;
