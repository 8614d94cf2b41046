// Which beds are laid alike, so that each way of laying is drawn once.
import type { BedLoad } from '../process/beds-record.ts';

/** Numbers of beds, from 1, in groups with the same pieces at the same places on the same machine; first beds first. */
export function sameBeds(loads: readonly BedLoad[]): readonly (readonly number[])[] {
  const groups = new Map<string, number[]>();
  for (const [index, { machine, places }] of loads.entries()) {
    const laid = places.map(({ piece, turnDeg, atMm }) => [piece, turnDeg, ...atMm]);
    const key = JSON.stringify([machine, laid]);
    groups.set(key, [...(groups.get(key) ?? []), index + 1]);
  }
  return [...groups.values()];
}
