// How thin a printed wall may be. Sources: docs/facts.md.

/** Thinnest wall that a nozzle prints reliably: two contour passes, each as wide as the nozzle, mm; with 0.4 mm that
 *  is the 0.8 mm of print services' design guides. */
export function thinnestWallMm(nozzleMm: number): number {
  return 2 * nozzleMm;
}

/** Wall that a sheet is given unless the maker says otherwise, mm. Common practice, no source. */
export const USUAL_WALL_MM = 3;
