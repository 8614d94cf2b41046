// What a surface is taken from: a field and the grid laid over it.
import type { Bounds } from '../mesh/mesh.ts';

/** Signed distance-like: negative inside, positive outside, mm; its slope should stay near 1 close to the surface. */
export type Field = (x: number, y: number, z: number) => number;

export interface IsosurfaceOptions {
  /** Encloses the solid; the grid is laid a little wider. */
  readonly within: Bounds;
  /** Side of a cell, mm. Nothing thinner than a cell is sure to be kept. */
  readonly cellMm: number;
  /** Steepest slope of the field anywhere; blocks farther from the surface than this allows are passed over. */
  readonly steepest: number;
}
