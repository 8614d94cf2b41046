// Papers by their grade number and the median size of their grains. Sources and grades: docs/facts.md.

export interface Grit {
  /** The number after P (FEPA, ISO 6344). */
  readonly grade: number;
  /** Median grain, micrometres. */
  readonly medianUm: number;
}

/** P60 to P120, P400, P600 and P2500: grit tables and charts seen; the others from memory. */
export const GRITS: readonly Grit[] = [
  { grade: 60, medianUm: 269 },
  { grade: 80, medianUm: 201 },
  { grade: 100, medianUm: 162 },
  { grade: 120, medianUm: 125 },
  { grade: 150, medianUm: 100 },
  { grade: 180, medianUm: 82 },
  { grade: 220, medianUm: 68 },
  { grade: 240, medianUm: 58.5 },
  { grade: 280, medianUm: 52.2 },
  { grade: 320, medianUm: 46.2 },
  { grade: 400, medianUm: 35 },
  { grade: 500, medianUm: 30.2 },
  { grade: 600, medianUm: 25.8 },
  { grade: 800, medianUm: 21.8 },
  { grade: 1000, medianUm: 18.3 },
  { grade: 1500, medianUm: 12.6 },
  { grade: 2000, medianUm: 10.3 },
  { grade: 2500, medianUm: 8.4 },
];
