// Which papers of the ladder sand what.
import type { SurfaceSettings } from './surface-settings.ts';

export interface Papers {
  /** The bare print and filler. */
  readonly bare: readonly number[];
  /** The primer of each round. */
  readonly primer: number;
  /** All of it, once, at the end; none for a stage. */
  readonly last: readonly number[];
}

/** Coarser ones than `primerGrade` for print and filler, the first of the others for each round of primer, the rest at the end. Where the ladder has none on one side its nearest serves. */
export function papersOf({
  ladder,
  primerGrade,
  target,
}: Pick<SurfaceSettings, 'ladder' | 'primerGrade' | 'target'>): Papers {
  const bare = ladder.filter((grade) => grade < primerGrade);
  const [primer = ladder.at(-1)!, ...last] = ladder.filter((grade) => grade >= primerGrade);
  return { bare: bare.length > 0 ? bare : ladder.slice(0, 1), primer, last: target === 'stage' ? [] : last };
}

export function papersWords(grades: readonly number[]): string {
  return grades.map((grade) => `P${grade}`).join(', ');
}
