// How far two outlines on a bed are from each other.

/** Least distance between the borders of two sets of loops (xy interleaved, mm); 0 where they cross. Says nothing of one that lies wholly inside the other.
 *  Cost: O(edges x edges). */
export function outlineGap(one: readonly Float64Array[], other: readonly Float64Array[]): number {
  let least = Infinity;
  for (const a of one)
    for (let i = 0, j = a.length - 2; i < a.length; j = i, i += 2)
      for (const b of other)
        for (let k = 0, l = b.length - 2; k < b.length; l = k, k += 2) {
          const first: Edge = [a[j]!, a[j + 1]!, a[i]!, a[i + 1]!];
          const second: Edge = [b[l]!, b[l + 1]!, b[k]!, b[k + 1]!];
          if (boxesApart(first, second) >= least) continue;
          least = Math.min(least, edgeGap(first, second));
        }
  return least;
}

type Edge = readonly [ax: number, ay: number, bx: number, by: number];

function boxesApart([ax, ay, bx, by]: Edge, [cx, cy, dx, dy]: Edge): number {
  const x = Math.max(Math.min(ax, bx) - Math.max(cx, dx), Math.min(cx, dx) - Math.max(ax, bx), 0);
  const y = Math.max(Math.min(ay, by) - Math.max(cy, dy), Math.min(cy, dy) - Math.max(ay, by), 0);
  return Math.hypot(x, y);
}

function edgeGap(one: Edge, other: Edge): number {
  const [ax, ay, bx, by] = one;
  const [cx, cy, dx, dy] = other;
  if (side(one, cx, cy) * side(one, dx, dy) < 0 && side(other, ax, ay) * side(other, bx, by) < 0) return 0;
  return Math.min(toEdge(other, ax, ay), toEdge(other, bx, by), toEdge(one, cx, cy), toEdge(one, dx, dy));
}

function side([ax, ay, bx, by]: Edge, x: number, y: number): number {
  return (bx - ax) * (y - ay) - (by - ay) * (x - ax);
}

function toEdge([ax, ay, bx, by]: Edge, x: number, y: number): number {
  const [ux, uy] = [bx - ax, by - ay];
  const along = Math.min(1, Math.max(0, ((x - ax) * ux + (y - ay) * uy) / Math.max(1e-300, ux * ux + uy * uy)));
  return Math.hypot(x - ax - along * ux, y - ay - along * uy);
}
