// How often a place is filled, primed and sanded until nothing shows.
import type { FinishNumberName } from '../facts/finish-numbers.ts';
import type { FillerName } from '../facts/finishing.ts';
import type { SurfaceSettings } from './surface-settings.ts';

const ALLOWED: Readonly<Record<SurfaceSettings['target'], FinishNumberName>> = {
  stage: 'allowedStageMm',
  hand: 'allowedHandMm',
  camera: 'allowedCameraMm',
};
const FILLS = { resin: 'resinMm', putty: 'puttyMm', filler: 'fillerMm' } as const;

/** ceil((need - what sanding takes down - what may stay) / fill of a round), at least none. `needMm`: ridge and step that 95 percent of the place do not exceed.
 *  Common practice put into a formula, no source; docs/methods/finishing.md. */
export function roundsFor(needMm: number, by: FillerName, settings: SurfaceSettings): number {
  const left = needMm - settings.sandedMm - allowedMm(settings);
  // a hair over a whole number of rounds is no further round
  return Math.max(0, Math.ceil(left / fillMm(by, settings) - 1e-9));
}

/** How deep a valley may stay. */
export function allowedMm({ target, numbers }: Pick<SurfaceSettings, 'target' | 'numbers'>): number {
  return numbers[ALLOWED[target]];
}

/** What a round fills, mm; of primer by its coats. */
export function fillMm(by: FillerName, { primerCoats, numbers }: SurfaceSettings): number {
  return by === 'primer' ? numbers.primerCoatMm * primerCoats : numbers[FILLS[by]];
}
