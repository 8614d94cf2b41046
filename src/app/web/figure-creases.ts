// Leaves out the creases that a draughtsman would not draw: short crumbs, and those that run along a seam.

/** Chains of creases shorter than this in all are crumbs of the tessellation. */
const CRUMB_MM = 9;
/** A crease this near to a seam is the seam's own edge. */
const NEAR_MM = 1.5;

/** Segments xyz xyz in, segments out. Cost: O(creases + seams). Points are told apart to 0.1 mm. */
export function drawnCreases(creases: Float32Array, seams: Float32Array, leastMm = CRUMB_MM): Float32Array {
  const near = cellsAlong(seams);
  const chains = chainLengths(creases);
  const kept = new Float32Array(creases.length);
  let size = 0;
  for (let i = 0; i < creases.length; i += 6) {
    if (chains[i / 6]! < leastMm) continue;
    const x = (creases[i]! + creases[i + 3]!) / 2;
    const y = (creases[i + 1]! + creases[i + 4]!) / 2;
    const z = (creases[i + 2]! + creases[i + 5]!) / 2;
    if (near.has(cellOf(x, y, z, NEAR_MM))) continue;
    kept.set(creases.subarray(i, i + 6), size);
    size += 6;
  }
  return kept.slice(0, size);
}

/** For each segment the length of all segments that hang together with it. */
function chainLengths(segments: Float32Array): Float64Array {
  const numSegments = segments.length / 6;
  const root = Uint32Array.from({ length: numSegments }, (_, index) => index);
  const find = (of: number): number => {
    let at = of;
    while (root[at] !== at) {
      root[at] = root[root[at]!]!;
      at = root[at]!;
    }
    return at;
  };
  const firstAt = new Map<number, number>();
  for (let i = 0; i < segments.length; i += 3) {
    const key = cellOf(segments[i]!, segments[i + 1]!, segments[i + 2]!, 0.1);
    const segment = Math.trunc(i / 6);
    const known = firstAt.get(key);
    if (known === undefined) firstAt.set(key, segment);
    else root[find(segment)] = find(known);
  }
  const total = new Float64Array(numSegments);
  for (let s = 0; s < numSegments; s++) total[find(s)]! += segmentLength(segments, s * 6);
  return Float64Array.from({ length: numSegments }, (_, s) => total[find(s)]!);
}

/** Cells within one cell of the segments. */
function cellsAlong(segments: Float32Array): Set<number> {
  const cells = new Set<number>();
  let last = Number.NaN;
  for (let i = 0; i < segments.length; i += 6) {
    const steps = Math.max(1, Math.ceil(segmentLength(segments, i) / NEAR_MM));
    for (let step = 0; step <= steps; step++) {
      const share = step / steps;
      const x = segments[i]! + (segments[i + 3]! - segments[i]!) * share;
      const y = segments[i + 1]! + (segments[i + 4]! - segments[i + 1]!) * share;
      const z = segments[i + 2]! + (segments[i + 5]! - segments[i + 2]!) * share;
      const own = cellOf(x, y, z, NEAR_MM);
      if (own === last) continue;
      last = own;
      for (let dx = -NEAR_MM; dx <= NEAR_MM; dx += NEAR_MM)
        for (let dy = -NEAR_MM; dy <= NEAR_MM; dy += NEAR_MM)
          for (let dz = -NEAR_MM; dz <= NEAR_MM; dz += NEAR_MM) cells.add(cellOf(x + dx, y + dy, z + dz, NEAR_MM));
    }
  }
  return cells;
}

function segmentLength(s: Float32Array, i: number): number {
  return Math.sqrt((s[i + 3]! - s[i]!) ** 2 + (s[i + 4]! - s[i + 1]!) ** 2 + (s[i + 5]! - s[i + 2]!) ** 2);
}

/** One exact number for a cell of a grid that reaches 32768 cells to each side. */
function cellOf(x: number, y: number, z: number, size: number): number {
  return (cellIndex(x, size) * 65536 + cellIndex(y, size)) * 65536 + cellIndex(z, size);
}

function cellIndex(c: number, size: number): number {
  return Math.min(65535, Math.max(0, Math.round(c / size) + 32768));
}
