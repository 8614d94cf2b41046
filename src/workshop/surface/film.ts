// What a coat of paint comes to: how far a litre goes, how thick it lies wet, and what is sprayed beside the piece.

/** Paint as its data sheet tells it. */
export interface Paint {
  /** Share of its volume that stays when it is dry, percent. */
  readonly solidsPercent: number;
  /** Of one coat, dry, micrometres. */
  readonly dryUm: number;
}

/** Square metres a litre covers when none of it is lost: 10 x solids / dry film. Source: the theoretical spreading rate of coatings makers; docs/methods/finishing.md. */
export function spreadingRate({ solidsPercent, dryUm }: Paint): number {
  return (10 * solidsPercent) / dryUm;
}

/** Micrometres of one coat just sprayed. */
export function wetFilmUm({ solidsPercent, dryUm }: Paint): number {
  return (100 * dryUm) / solidsPercent;
}

/** Square feet a US gallon covers when none of it is lost: 1604 x solids / dry film in thousandths of an inch. */
export function spreadingRateUs(solidsPercent: number, dryMil: number): number {
  return (1604 * solidsPercent) / 100 / dryMil;
}

/** Litres to spray. `reaching`: share of what leaves the nozzle that lands on the piece, 0 to 1. */
export function litresFor(areaMm2: number, coats: number, paint: Paint, reaching: number): number {
  return (areaMm2 * 1e-6 * coats) / spreadingRate(paint) / reaching;
}
