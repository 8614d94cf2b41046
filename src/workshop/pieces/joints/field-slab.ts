// A closed solid between two sheets of heights over a grid in a key's frame: what tabs, stops, lips, laps, strips and seats are made of.

import { invariant } from '../../../base/invariant.ts';
import { type Mesh, meshOf } from '../../../mesh/mesh.ts';
import { inSpace } from './inner-lines.ts';
import type { KeyFrame } from './key-field.ts';

/** One point of the grid: along, into, and the two heights along `inward`. */
export interface SlabPoint {
  readonly a: number;
  readonly s: number;
  readonly low: number;
  readonly high: number;
}

/** rows x columns points, `a` rising within a row and `s` from row to row; low < high everywhere. Both sheets are divided alike, so the
 *  solid cannot cross itself. Facing outward; 4 (rows - 1)(columns - 1) + 4 (rows + columns - 2) triangles. */
export function fieldSlab(frame: KeyFrame, rows: readonly (readonly SlabPoint[])[]): Mesh {
  const columns = rows[0]!.length;
  const half = rows.length * columns;
  const positions = new Float64Array(half * 6);
  rows.forEach((row, j) => {
    row.forEach(({ a, s, low, high }, i) => {
      invariant(low < high, `a slab is ${high - low} mm thick at ${a}, ${s}`);
      positions.set(inSpace(frame, a, s, low), (j * columns + i) * 3);
      positions.set(inSpace(frame, a, s, high), (half + j * columns + i) * 3);
    });
  });
  const triangles: number[] = [];
  const quad = (a: number, b: number, c: number, d: number) => triangles.push(a, b, c, a, c, d);
  for (let j = 0; j + 1 < rows.length; j++) {
    for (let i = 0; i + 1 < columns; i++) {
      const [a, b, c, d] = [j * columns + i, j * columns + i + 1, (j + 1) * columns + i + 1, (j + 1) * columns + i];
      quad(half + a, half + b, half + c, half + d);
      triangles.push(a, c, b, a, d, c);
    }
  }
  const wall = (a: number, b: number) => quad(a, b, half + b, half + a);
  for (let i = 0; i + 1 < columns; i++) {
    wall(i, i + 1);
    wall((rows.length - 1) * columns + i + 1, (rows.length - 1) * columns + i);
  }
  for (let j = 0; j + 1 < rows.length; j++) {
    wall((j + 1) * columns, j * columns);
    wall(j * columns + columns - 1, (j + 1) * columns + columns - 1);
  }
  return meshOf(positions, Uint32Array.from(triangles));
}

/** Numbers from low to high in even steps of at most `stepMm`. */
export function evenly(low: number, high: number, stepMm: number): number[] {
  const steps = Math.max(1, Math.ceil((high - low) / stepMm - 1e-9));
  return Array.from({ length: steps + 1 }, (_, i) => (i === steps ? high : low + ((high - low) * i) / steps));
}
