// Limits as contacts of a joint make them: many parallel ones, many through one place, all of them of like size.
import type { Constraints } from '../../src/geometry/linear/linear-program.ts';

/** Contacts on the sides of a few keys along a wall that runs round: rows of a shift and a turn (in units of 100 mm). */
export function contactConstraints(
  num: number,
  random: () => number,
  gaps: 'equal' | 'various' | 'negative too',
): Constraints {
  const rows = new Float64Array(num * 6);
  const limits = new Float64Array(num);
  const keys = 3 + Math.floor(random() * 10);
  for (let i = 0; i < num; i++) {
    const angle = (2 * Math.PI * (i % keys)) / keys;
    const side = Math.floor(random() * 6);
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const sign = side % 2 === 0 ? 1 : -1;
    const m = [
      [c, s, 0],
      [-s, c, 0],
      [0, 0, 1],
    ][side >> 1]!.map((x) => x * sign);
    const r = [c + (random() - 0.5) * 0.1, s + (random() - 0.5) * 0.1, (random() - 0.5) * 0.1];
    rows.set(
      [...m, r[1]! * m[2]! - r[2]! * m[1]!, r[2]! * m[0]! - r[0]! * m[2]!, r[0]! * m[1]! - r[1]! * m[0]!],
      i * 6,
    );
    limits[i] = gaps === 'equal' ? 0.2 : gaps === 'various' ? 0.1 + 0.2 * random() : 0.3 * random() - 0.02;
  }
  return { numVars: 6, rows, limits };
}
