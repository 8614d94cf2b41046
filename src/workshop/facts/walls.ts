// How thin a printed wall may be. Sources: docs/facts.md.

/** Thinnest wall that prints reliably with a 0.4 mm nozzle, mm: two contour passes. Print services' design guides say 0.8. */
export const THINNEST_WALL_MM = 0.8;
