import { expect, test } from 'vitest';
import { discReach } from '../../src/geometry/disc-reach.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { areaNormals } from '../../src/mesh/measure.ts';
import type { Vec3 } from '../../src/mesh/mesh.ts';
import { discStands } from '../support/dropped-discs.ts';
import { halfHelm } from '../support/half-helm.ts';

const GIVE = 1;
const TOOLS = [
  { radiusMm: 4, heightMm: 12 },
  { radiusMm: 10, heightMm: 20 },
  { radiusMm: 30, heightMm: 40 },
  { radiusMm: 62, heightMm: 100 },
];

test('on half of the helm, inside and outside, tools reach the same share of the area as discs dropped by brute force, to 2 percent', () => {
  const mesh = halfHelm(15_000);
  const normals = areaNormals(mesh);
  const found = discReach(mesh, buildBoundingTree(mesh), { tools: TOOLS, giveMm: GIVE, mostPlaces: 240 });
  const { tri, atMm } = found.places;
  const dropped = Array.from(tri, (t, i) => {
    const length = Math.hypot(normals[t * 3]!, normals[t * 3 + 1]!, normals[t * 3 + 2]!);
    const normal: Vec3 = [normals[t * 3]! / length, normals[t * 3 + 1]! / length, normals[t * 3 + 2]! / length];
    const at: Vec3 = [atMm[i * 3]!, atMm[i * 3 + 1]!, atMm[i * 3 + 2]!];
    const stops = TOOLS.findIndex((tool) => !discStands(mesh, at, normal, { ...tool, giveMm: GIVE }));
    return stops < 0 ? TOOLS.length : stops;
  });
  const share = (counts: ArrayLike<number>, of: number): number =>
    Array.from(counts).filter((count) => count === of).length / tri.length;
  for (let of = 0; of <= TOOLS.length; of++) {
    expect(share(dropped, of), `${of} tools reach by brute force`).toBeGreaterThan(0.02);
    expect(Math.abs(share(found.reach, of) - share(dropped, of)), `${of} tools reach`).toBeLessThan(0.02);
  }
  const same = dropped.filter((count, i) => count === found.reach[i]).length;
  // the grid of the brute force misses what is narrower than its columns, up to 3 mm
  expect(same / tri.length).toBeGreaterThan(0.92);
});
