// What a surface is taken from: a field and the grid laid over it.
import type { Bounds } from '../../mesh/mesh.ts';

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

/** An edge of the grid whose ends lie on different sides. Written anew for each, to spare a million small objects. */
export interface CrossedEdge {
  /** Among the kept blocks. */
  block: number;
  /** Lower end on the grid. */
  i: number;
  j: number;
  k: number;
  axis: number;
  /** Values at both ends. */
  low: number;
  high: number;
  /** Where on the edge the surface is, 0 to 1. */
  t: number;
}

/** What tells where a surface runs between samples: a field, or the triangles of an input. */
export interface SurfaceSource {
  /** Sets edge.t and writes where the edge meets the surface (xyz, mm) and the unit normal there (either way). */
  hitOn(edge: CrossedEdge, hit: Float64Array): void;
  /** How far from the surface a point lies, mm, 0 or more. */
  missAt(x: number, y: number, z: number): number;
}
