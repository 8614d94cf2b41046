// What thickness the given shares of the area do not exceed.
import type { TriThickness } from './normal-ray-thickness.ts';

/** Thicknesses that the given shares (0 to 1) of the area do not exceed. Triangles without a hit or an area are left out; NaN when
 *  none remain. Cost: O(n), some 90 ms per million. */
export function areaPercentiles(wall: TriThickness, shares: readonly number[]): readonly number[] {
  const order = measuredInOrder(wall);
  if (order.length === 0) return shares.map(() => Number.NaN);
  let total = 0;
  for (const t of order) total += wall.areaMm2[t]!;
  return shares.map((share) => {
    let sum = 0;
    for (const t of order) {
      sum += wall.areaMm2[t]!;
      if (sum >= share * total) return wall.perTriMm[t]!;
    }
    return wall.perTriMm[order.at(-1)!]!;
  });
}

/** Triangles with a thickness and an area, thinnest first. Positive single-precision numbers sort as their bits do, so two passes
 *  of counting over 16 bits each order them. */
function measuredInOrder({ perTriMm, areaMm2 }: TriThickness): Uint32Array {
  const bits = new Uint32Array(perTriMm.buffer, perTriMm.byteOffset, perTriMm.length);
  let count = 0;
  let order = new Uint32Array(perTriMm.length);
  for (let t = 0; t < order.length; t++) if (perTriMm[t]! < Infinity && areaMm2[t]! > 0) order[count++] = t;
  order = order.subarray(0, count);
  for (const shift of [0, 16]) {
    const next = new Uint32Array(65537);
    for (const t of order) {
      const digit = ((bits[t]! >>> shift) & 0xffff) + 1;
      next[digit] = next[digit]! + 1;
    }
    for (let digit = 1; digit < next.length; digit++) next[digit] = next[digit]! + next[digit - 1]!;
    const sorted = new Uint32Array(count);
    for (const t of order) {
      const digit = (bits[t]! >>> shift) & 0xffff;
      const to = next[digit]!;
      sorted[to] = t;
      next[digit] = to + 1;
    }
    order = sorted;
  }
  return order;
}
