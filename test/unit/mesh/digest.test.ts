import { createHash } from 'node:crypto';
import { expect, it } from 'vitest';
import { box, torus } from '../../../src/mesh/builders.ts';
import { meshDigest, meshId } from '../../../src/mesh/digest.ts';
import { meshOf } from '../../../src/mesh/mesh.ts';

const CUBE = box([0, 0, 0], [1, 1, 1]);

it('meshId is SHA-256 over little-endian positions, then triangles, as another implementation computes it', () => {
  const bytes = new DataView(new ArrayBuffer(CUBE.positions.length * 8 + CUBE.triangles.length * 4));
  CUBE.positions.forEach((v, i) => {
    bytes.setFloat64(i * 8, v, true);
  });
  CUBE.triangles.forEach((v, i) => {
    bytes.setUint32(CUBE.positions.length * 8 + i * 4, v, true);
  });
  expect(meshId(CUBE)).toBe(createHash('sha256').update(new Uint8Array(bytes.buffer)).digest('hex'));
});

it('meshId reads views, not the buffers behind them', () => {
  const roomy = new Float64Array(100);
  roomy.set(CUBE.positions, 7);
  expect(meshId(meshOf(roomy.subarray(7, 31), CUBE.triangles))).toBe(meshId(CUBE));
});

it('meshDigest gathers counts, sizes and shape', () => {
  expect(meshDigest(CUBE)).toEqual({
    numVerts: 8,
    numTris: 12,
    volumeMm3: 1,
    areaMm2: 6,
    bounds: { minMm: [0, 0, 0], maxMm: [1, 1, 1] },
    shells: 1,
    genus: 0,
    closed: true,
  });
  expect(meshDigest(torus({ majorMm: 3, minorMm: 1 }, 12, 8)).genus).toBe(1);
});
