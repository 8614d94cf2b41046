// A piece of work as a chapter hands it on: what hands do, what then takes its time alone, and what has to be done before.

export interface Step {
  /** Stable within one result; other steps name it in `after`. */
  readonly id: string;
  /** "Close A onto B": what is done, as a maker would say it. */
  readonly name: string;
  readonly handsOnS: number;
  /** After the hands are done and before what follows: drying, curing. */
  readonly unattendedS: number;
  /** Ids of steps whose work and waiting come first. */
  readonly after: readonly string[];
  /** Hands come back for so many coats, so far apart; unattendedS holds the waits between them too. */
  readonly coats?: { readonly count: number; readonly apartS: number };
  /** A coat over another one: it begins within soonS after hands have left that step, or not before laterS after it. */
  readonly window?: { readonly of: string; readonly soonS: number; readonly laterS: number };
  /** What lies ready: materials and tools, with amounts. */
  readonly needs: readonly string[];
  readonly place: string;
  readonly caution: string | null;
  /** Where the times come from. */
  readonly source: string;
}
