// How far a body may move within the gaps that its contacts leave, and how far a place on it then lies off.

/** Places where a moving body meets a fixed one. */
export interface Contacts {
  /** num x 3, mm. */
  readonly points: Float64Array;
  /** num x 3, unit: the moving body cannot move this way there by more than the gap. */
  readonly normals: Float64Array;
  /** num, mm; 0 where they touch. */
  readonly gapMm: Float64Array;
}
