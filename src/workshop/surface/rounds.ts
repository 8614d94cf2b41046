// How often a place is filled, primed and sanded until nothing shows.
import { ALLOWED_MM, FILLERS, type FillerName } from '../facts/finishing.ts';
import type { SurfaceSettings } from './surface-settings.ts';

/** ceil((need - what sanding takes down - what may stay) / fill of a round), at least none. `needMm`: ridge and step that 95 percent of the place do not exceed.
 *  Common practice put into a formula, no source; docs/methods/finishing.md. */
export function roundsFor(needMm: number, by: FillerName, settings: SurfaceSettings): number {
  const left = needMm - settings.sandedMm - ALLOWED_MM[settings.target];
  // a hair over a whole number of rounds is no further round
  return Math.max(0, Math.ceil(left / fillMm(by, settings) - 1e-9));
}

/** What a round fills, mm; of primer by its coats. */
export function fillMm(by: FillerName, { primerCoats }: SurfaceSettings): number {
  return by === 'primer' ? (FILLERS.primer.fillMm / 3) * primerCoats : FILLERS[by].fillMm;
}
