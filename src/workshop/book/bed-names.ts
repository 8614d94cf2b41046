// Which beds are laid alike, so that each way of laying is drawn once.
import type { BedsRecord } from '../process/beds-record.ts';

/** Numbers of beds, from 1, in groups with the same pieces at the same places on beds of one size; first beds first. */
export function sameBeds({ loads, machines }: Pick<BedsRecord, 'loads' | 'machines'>): readonly (readonly number[])[] {
  const groups = new Map<string, number[]>();
  for (const [index, { machine, places }] of loads.entries()) {
    const laid = places.map(({ piece, turnDeg, atMm }) => [piece, turnDeg, ...atMm]);
    const bed = machines.find(({ id }) => id === machine);
    const key = JSON.stringify([bed?.widthMm, bed?.depthMm, laid]);
    groups.set(key, [...(groups.get(key) ?? []), index + 1]);
  }
  return [...groups.values()];
}
