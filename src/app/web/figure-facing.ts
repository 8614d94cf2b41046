// From where most of what is marked on the figure is seen: for a map with little on it, which may all lie at the back.
import type { FigurePart, PartLines } from '../api/figure-codec.ts';
import type { Aim } from './figure-turn.ts';

const TURNS = 24;
/** What faces the reader less squarely is hardly read. */
const SQUARE = 0.5;
const LEVEL_DEG = 14;

/** Of the most that is seen from anywhere, so much is enough to leave the view as it is. */
const ENOUGH = 1 / 3;

/** The turn about the upright axis from which the longest part of the lines stands towards the reader, turning as little as it can from
 *  `first`; null where enough is seen from there, and without lines. Taken from where they lie round the middle of all parts, not from what stands before them. Cost: O(lines). */
export function aimAtMarks(parts: readonly FigurePart[], name: PartLines, first: Aim): Aim | null {
  const middle = middleOf(parts);
  const lengthAt = new Float64Array(TURNS);
  for (const { [name]: lines = new Float32Array() } of parts) {
    for (let s = 0; s < lines.length; s += 6) {
      const x = (lines[s]! + lines[s + 3]!) / 2 - middle[0];
      const y = (lines[s + 1]! + lines[s + 4]!) / 2 - middle[1];
      const away = Math.hypot(x, y);
      if (away === 0) continue;
      const length = Math.hypot(
        lines[s + 3]! - lines[s]!,
        lines[s + 4]! - lines[s + 1]!,
        lines[s + 5]! - lines[s + 2]!,
      );
      for (let turn = 0; turn < TURNS; turn++) {
        const [towardsX, towardsY] = towards(azimuthOf(turn, first));
        const square = (x * towardsX + y * towardsY) / away;
        if (square > SQUARE) lengthAt[turn] = lengthAt[turn]! + length * square;
      }
    }
  }
  let best = 0;
  for (let turn = 1; turn < TURNS; turn++) if (lengthAt[turn]! > lengthAt[best]! * 1.01) best = turn;
  return lengthAt[0]! >= ENOUGH * lengthAt[best]!
    ? null
    : { azimuthDeg: azimuthOf(best, first), elevationDeg: LEVEL_DEG };
}

/** The first one turns least. */
function azimuthOf(turn: number, first: Aim): number {
  const half = Math.ceil(turn / 2) * (turn % 2 === 0 ? 1 : -1);
  return first.azimuthDeg + (half * 360) / TURNS;
}

/** From the middle to the reader, level. */
function towards(azimuthDeg: number): readonly [number, number] {
  const turned = (azimuthDeg * Math.PI) / 180;
  return [Math.sin(turned), -Math.cos(turned)];
}

function middleOf(parts: readonly FigurePart[]): readonly [number, number] {
  const low = [Infinity, Infinity] as [number, number];
  const high = [-Infinity, -Infinity] as [number, number];
  for (const part of parts) {
    const { positions: p } = part.coarse ?? part;
    for (let i = 0; i < p.length; i += 3)
      for (const axis of [0, 1] as const) {
        low[axis] = Math.min(low[axis], p[i + axis]!);
        high[axis] = Math.max(high[axis], p[i + axis]!);
      }
  }
  return [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2];
}
