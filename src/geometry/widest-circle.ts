// The widest circle inside a flat face with holes: where there is most room in it.

export interface InnerCircle {
  readonly x: number;
  readonly y: number;
  readonly radiusMm: number;
}

/** loops: each 2 x n numbers, closed; inside is what an odd number of them surrounds. Radius within `exactMm`, and 0 when there is no
 *  inside. Cost: O(cells x n), some hundred cells for a compact face and more for a long thin one. Method: squares divided best first by the
 *  distance of their middle plus their half diagonal, after the search for poles of inaccessibility (Agafonkin 2016, as generally
 *  known; a quadtree search of the distance to the outline). */
export function widestCircle(loops: readonly Float64Array[], exactMm = 0.02): InnerCircle {
  const box = flatBounds(loops);
  const size = Math.min(box.highX - box.lowX, box.highY - box.lowY);
  let best: InnerCircle = { x: (box.lowX + box.highX) / 2, y: (box.lowY + box.highY) / 2, radiusMm: 0 };
  if (!(size > 0)) return best;
  const step = Math.max(size, Math.hypot(box.highX - box.lowX, box.highY - box.lowY) / MOST_FIRST);
  let cells: Cell[] = [];
  const consider = (x: number, y: number, half: number, into: Cell[]): void => {
    const inside = insideMm(loops, x, y);
    if (inside > best.radiusMm) best = { x, y, radiusMm: inside };
    const most = inside + half * Math.SQRT2;
    if (most > best.radiusMm + exactMm) into.push({ x, y, half, most });
  };
  for (let x = box.lowX + step / 2; x < box.highX + step / 2; x += step)
    for (let y = box.lowY + step / 2; y < box.highY + step / 2; y += step) consider(x, y, step / 2, cells);
  // level by level: every cell that may still hold a wider circle is quartered
  while (cells.length > 0) {
    const next: Cell[] = [];
    cells.sort((a, b) => b.most - a.most);
    for (const { x, y, half, most } of cells) {
      if (most <= best.radiusMm + exactMm) break;
      const h = half / 2;
      for (const [dx, dy] of QUARTERS) consider(x + dx * h, y + dy * h, h, next);
    }
    cells = next;
  }
  return best;
}

/** How far inside the face a point lies, mm: its distance to the nearest side, negative outside. Cost: O(n). */
export function insideMm(loops: readonly Float64Array[], x: number, y: number): number {
  let inside = false;
  let least = Infinity;
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
      const [ax, ay, bx, by] = [loop[j]!, loop[j + 1]!, loop[i]!, loop[i + 1]!];
      if (ay > y !== by > y && x < ax + ((y - ay) * (bx - ax)) / (by - ay)) inside = !inside;
      const [dx, dy] = [bx - ax, by - ay];
      const length2 = dx * dx + dy * dy;
      const f = length2 > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length2)) : 0;
      const [ex, ey] = [ax + f * dx - x, ay + f * dy - y];
      least = Math.min(least, ex * ex + ey * ey);
    }
  }
  return (inside ? 1 : -1) * Math.sqrt(least);
}

interface Cell {
  readonly x: number;
  readonly y: number;
  readonly half: number;
  /** No circle with its middle in the cell is wider. */
  readonly most: number;
}

/** First cells along the longer way of a long face. */
const MOST_FIRST = 64;
const QUARTERS = [
  [-1, -1],
  [1, -1],
  [-1, 1],
  [1, 1],
] as const;

function flatBounds(loops: readonly Float64Array[]) {
  const box = { lowX: Infinity, lowY: Infinity, highX: -Infinity, highY: -Infinity };
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i += 2) {
      box.lowX = Math.min(box.lowX, loop[i]!);
      box.highX = Math.max(box.highX, loop[i]!);
      box.lowY = Math.min(box.lowY, loop[i + 1]!);
      box.highY = Math.max(box.highY, loop[i + 1]!);
    }
  }
  return box;
}
