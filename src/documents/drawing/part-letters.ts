// Where on the paper the letter of a part stands: in the widest place of what is seen of it.
import type { DepthRaster } from './depth-raster.ts';
import type { PlacedName } from './line-names.ts';

/** Paper mm from one tried place to the next. */
const STEP_MM = 0.6;
/** A part of which no wider place is seen, measured from its middle, has no letter. */
const LEAST_ROOM_MM = 1.2;

/** `letters`: by the number of the part, null for a part without one. Cost: O(paper area), two passes over a grid of 0.6 mm.
 *  Method: city block distance to the nearest place that shows something else (Rosenfeld and Pfaltz 1966); the farthest wins. */
export function partLetters(raster: DepthRaster, letters: readonly (string | null)[]): PlacedName[] {
  const pixels = Math.max(1, Math.round(STEP_MM / raster.pixelMm));
  const [wide, high] = [raster.width, raster.height].map((side) => Math.floor(side / pixels)) as [number, number];
  const seen = new Int32Array(wide * high);
  for (let y = 0; y < high; y++) {
    for (let x = 0; x < wide; x++) {
      const tri = raster.tri[(y * pixels + (pixels >> 1)) * raster.width + x * pixels + (pixels >> 1)]!;
      seen[y * wide + x] = tri < 0 ? -1 : raster.partOfTri[tri]!;
    }
  }
  const room = roomOf(seen, wide, high);
  const best = new Map<number, number>();
  for (let at = 0; at < seen.length; at++) {
    const part = seen[at]!;
    if (part >= 0 && room[at]! > (room[best.get(part) ?? -1] ?? 0)) best.set(part, at);
  }
  const stepMm = pixels * raster.pixelMm;
  return letters.flatMap((text, part): PlacedName[] => {
    const at = best.get(part);
    if (text === null || at === undefined || room[at]! * stepMm < LEAST_ROOM_MM) return [];
    return [{ text, x: ((at % wide) + 0.5) * stepMm, y: (Math.floor(at / wide) + 0.5) * stepMm }];
  });
}

/** Steps to the nearest place that shows something else, or to the edge. */
function roomOf(seen: Int32Array, wide: number, high: number): Uint16Array {
  const room = new Uint16Array(seen.length);
  const near = (x: number, y: number, at: number): number => {
    if (x < 0 || y < 0 || x >= wide || y >= high) return 0;
    return seen[y * wide + x] === seen[at] ? room[y * wide + x]! : 0;
  };
  for (let y = 0; y < high; y++)
    for (let x = 0; x < wide; x++) {
      const at = y * wide + x;
      room[at] = 1 + Math.min(near(x - 1, y, at), near(x, y - 1, at));
    }
  for (let y = high - 1; y >= 0; y--)
    for (let x = wide - 1; x >= 0; x--) {
      const at = y * wide + x;
      room[at] = Math.min(room[at]!, 1 + near(x + 1, y, at), 1 + near(x, y + 1, at));
    }
  return room;
}
