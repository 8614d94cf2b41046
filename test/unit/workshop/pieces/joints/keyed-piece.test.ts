import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../../../src/base/random.ts';
import { selfCrossings } from '../../../../../src/geometry/crossings/self-crossings.ts';
import type { MeshPart } from '../../../../../src/geometry/plane-split.ts';
import { splitByPlane } from '../../../../../src/geometry/plane-split.ts';
import { roundToSingle } from '../../../../../src/geometry/round-to-single.ts';
import type { SolidKernel } from '../../../../../src/geometry/solid/solid.ts';
import { bowl, box, cylinder } from '../../../../../src/mesh/builders.ts';
import { volume } from '../../../../../src/mesh/measure.ts';
import { type Mesh, numTris, type Vec3 } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../../src/mesh/topology.ts';
import { transformMesh } from '../../../../../src/mesh/transform.ts';
import {
  FROM_ADDED,
  FROM_CUT,
  FROM_PIECE,
  FROM_TRIM,
  keyedPiece,
} from '../../../../../src/workshop/pieces/joints/keyed-piece.ts';
import { KEY_SOURCE } from '../../../../../src/workshop/process/joints-record.ts';
import { keyVolumes } from '../../../../support/joints/other-boolean.ts';
import { testKernel } from '../../../../support/kernel.ts';
import { randomTransform } from '../../../../support/random-mesh.ts';

const kernel = await testKernel();
const moved = (mesh: Mesh, [x, y, z]: Vec3): Mesh => transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, x, y, z], mesh);
const rod = (at: Vec3, radius = 1, height = 8): Mesh => moved(cylinder(radius, height, 24), at);
const plate: MeshPart = {
  mesh: box([0, 0, 0], [40, 20, 6]),
  sourceTri: Int32Array.of(-1, -1, 7, 7, 3, 3, 4, 4, 5, 5, 6, 6),
};
const keyed = (part: MeshPart, add: readonly Mesh[], cut: readonly Mesh[], trims: readonly Mesh[] = []) => {
  const made = keyedPiece(part, kernel, { name: 'A', changes: [{ add, cut }], trims });
  if (!made.ok) throw new Error(made.why);
  return made;
};

describe('keyedPiece', () => {
  it('is the piece itself where there is no key', () => {
    const { value, findings } = keyed(plate, [], []);
    expect(value.mesh).toBe(plate.mesh);
    expect(value.gainedMm3).toBe(0);
    expect(findings).toEqual([]);
  });

  it('tells triangles of the piece, of keys, of what was cut and what was trimmed', () => {
    const { value } = keyed(plate, [rod([10, 10, 3])], [rod([25, 10, 3])], [box([39.6, -1, 5.6], [41, 21, 7])]);
    const kinds = new Set(value.from);
    expect(kinds).toEqual(new Set([FROM_PIECE, FROM_ADDED, FROM_CUT, FROM_TRIM]));
    for (let tri = 0; tri < numTris(value.mesh); tri++) {
      if (value.from[tri] === FROM_PIECE) expect(plate.sourceTri).toContain(value.sourceTri[tri]);
      else expect(value.sourceTri[tri]).toBe(KEY_SOURCE);
    }
    expect(value.gainedMm3).toBeCloseTo(volume(value.mesh) - 4800, 9);
  });

  it('cuts last: a cut goes through what another key added', () => {
    const { value } = keyed(plate, [box([10, 5, 5], [20, 15, 10])], [box([14, 9, 7], [16, 11, 12])]);
    expect(value.gainedMm3).toBeCloseTo(400 - 12, 9);
  });

  it('refuses a key that hangs on nothing, with its place', () => {
    const made = keyedPiece(plate, kernel, { name: 'B', changes: [{ add: [rod([10, 10, 7])], cut: [] }] });
    expect(made).toMatchObject({ ok: false, code: 'JOINTS_PARTED', where: { piece: 'B', atMm: [10, 10, 11] } });
  });

  it('refuses a cut that parts the piece, and one that leaves nothing', () => {
    const through = keyedPiece(plate, kernel, {
      name: 'B',
      changes: [{ add: [], cut: [box([19, -1, -1], [21, 21, 7])] }],
    });
    expect(through).toMatchObject({ ok: false, code: 'JOINTS_PARTED' });
    const all = keyedPiece(plate, kernel, { name: 'B', changes: [{ add: [], cut: [box([-1, -1, -1], [41, 21, 7])] }] });
    expect(all).toMatchObject({ ok: false, code: 'JOINTS_PARTED' });
  });

  it('leaves crumbs out, and says so', () => {
    // Two cuts that leave a corner of 0.5 mm standing alone.
    const cuts = [box([-1, 0.5, -1], [1, 1, 7]), box([0.5, -1, -1], [1, 1, 7]), box([-1, -1, -1], [0.8, 0.8, 5])];
    const { value, findings } = keyed(plate, [], cuts);
    expect(findings.map(({ code, measured }) => [code, measured?.toFixed(6)])).toEqual([['JOINTS_CRUMBS', '0.250000']]);
    expect(surfaceCheck(value.mesh).shells).toBe(1);
    expect(value.gainedMm3).toBeCloseTo(-6, 9);
  });

  it('hands on what the kernel says when it fails', () => {
    const failing = { ...kernel, combine: () => { throw new Error('no'); } } as SolidKernel; // biome-ignore format: short
    expect(keyedPiece(plate, failing, { name: 'B', changes: [{ add: [rod([9, 9, 1])], cut: [] }] })).toMatchObject({
      ok: false,
      code: 'SOLID_FAILED',
    });
  });

  it('on pieces of a bowl: closed, nothing crosses, also as rounded for files; volumes agree with another boolean', () => {
    const random = randomStream(88);
    const split = splitByPlane(
      bowl({ outerMm: 50, wallMm: 4 }, 24),
      { normal: [0.48, 0.6, 0.64], offsetMm: 12.3 },
      {
        triangulate: kernel.triangulate,
      },
    );
    if (!split.ok) throw new Error(split.why);
    for (const part of [split.value.below, split.value.above]) {
      const { positions, triangles } = part.mesh;
      const faces = [...part.sourceTri.keys()].filter((tri) => part.sourceTri[tri]! < 0);
      const places = Array.from({ length: 6 }, () => triangles[faces[Math.floor(random() * faces.length)]! * 3]! * 3);
      const solids = places.map((at, i) => {
        const turned = transformMesh(randomTransform(i + 3, 1), box([-1.1, -1.3, -2.2], [1.2, 1.4, 2.3]));
        const [x, y, z] = [0, 1, 2].map((k) => (turned.positions[k]! + turned.positions[21 + k]!) / 2) as [
          number,
          number,
          number,
        ];
        return moved(turned, [positions[at]! - x + 0.31, positions[at + 1]! - y - 0.17, positions[at + 2]! - z]);
      });
      const [add, cut] = [solids.slice(0, 3), solids.slice(3)];
      const { value } = keyed(part, add, cut);
      expect(surfaceCheck(value.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1 });
      expect(selfCrossings(value.mesh).pairs).toBe(0);
      const laid = roundToSingle(transformMesh(randomTransform(5, 100), value.mesh));
      expect(laid.numBadEdges).toBe(0);
      expect(selfCrossings(laid.mesh).pairs).toBe(0);
      const { moreMm3, lessMm3 } = keyVolumes(part.mesh, { add, cut });
      expect(moreMm3).toBeGreaterThan(1);
      expect(lessMm3).toBeGreaterThan(1);
      expect(Math.abs(value.gainedMm3 - (moreMm3 - lessMm3)) / volume(part.mesh)).toBeLessThan(1e-6);
    }
  });
});
