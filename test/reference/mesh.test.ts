// Counts, sizes, shape and wall thickness of the shared reference shells against another library's.
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { areaPercentiles } from '../../src/geometry/wall/area-percentiles.ts';
import { normalRayThickness } from '../../src/geometry/wall/normal-ray-thickness.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { meshDigest } from '../../src/mesh/digest.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { openLoops, surfaceCheck } from '../../src/mesh/topology.ts';
import { weldSoup } from '../../src/mesh/weld.ts';

const SHELLS = '../shared/reference';
const missing = !existsSync(`${SHELLS}/shell-50k.stl`);
const why = missing ? ' (skipped: ../shared/reference is not there)' : '';

interface Fact<T> {
  readonly value: T;
  readonly tolerance: { readonly relative: number };
}
interface Info {
  readonly numVerts: number;
  readonly numTris: number;
  readonly areaMm2: number;
  readonly volumeMm3: number;
  readonly minMm: readonly number[];
  readonly maxMm: readonly number[];
  readonly shells: number;
  readonly euler: number;
  readonly genus: number;
  readonly closed: boolean;
  readonly openLoops: number;
}

const fact = <T>(name: string): Fact<T> =>
  JSON.parse(readFileSync(new URL(`./${name}.json`, import.meta.url), 'utf8')) as Fact<T>;

describe.skipIf(missing).each(['50k', '200k'])(`shell-%s.stl${why}`, (name) => {
  it('has the counts, sizes and shape', () => {
    const { value, tolerance } = fact<Info>(`mesh-info-${name}`);
    const mesh = shell(name);
    const digest = meshDigest(mesh);
    const { numVerts, numTris, shells, genus, closed } = digest;
    const found = { numVerts, numTris, shells, genus, closed, euler: surfaceCheck(mesh).euler };
    expect({ ...found, openLoops: openLoops(mesh).length }).toEqual({
      numVerts: value.numVerts,
      numTris: value.numTris,
      shells: value.shells,
      genus: value.genus,
      closed: value.closed,
      euler: value.euler,
      openLoops: value.openLoops,
    });
    const pairs = [
      [digest.areaMm2, value.areaMm2],
      [digest.volumeMm3, value.volumeMm3],
      ...value.minMm.map((v, k) => [digest.bounds.minMm[k]!, v] as const),
      ...value.maxMm.map((v, k) => [digest.bounds.maxMm[k]!, v] as const),
    ] as const;
    for (const [ours, theirs] of pairs) expect(Math.abs(ours / theirs - 1)).toBeLessThan(tolerance.relative);
  });

  it('has the thickness along the normal, by shares of the area', () => {
    const { value, tolerance } = fact<Record<string, number>>(`mesh-thickness-${name}`);
    const mesh = shell(name);
    const wall = normalRayThickness(mesh, buildBoundingTree(mesh));
    const shares = Object.keys(value).map((key) => Number(key.slice(1)) / 100);
    areaPercentiles(wall, shares).forEach((ours, i) => {
      expect(Math.abs(ours / Object.values(value)[i]! - 1)).toBeLessThan(tolerance.relative);
    });
  });
});

function shell(name: string): Mesh {
  const read = readStl(readFileSync(`${SHELLS}/shell-${name}.stl`));
  if (!read.ok) throw new Error(read.why);
  return weldSoup(read.value.corners).mesh;
}
