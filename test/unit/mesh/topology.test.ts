import { describe, expect, it } from 'vitest';
import { bowl, box, hollowBall, icoSphere, together, torus, tube } from '../../../src/mesh/builders.ts';
import { halfEdges } from '../../../src/mesh/half-edges.ts';
import { volume } from '../../../src/mesh/measure.ts';
import { type Mesh, meshOf, NONE } from '../../../src/mesh/mesh.ts';
import { openLoops, surfaceCheck, turnedInsideOut } from '../../../src/mesh/topology.ts';
import { weldMesh } from '../../../src/mesh/weld.ts';

const CUBE = box([0, 0, 0], [1, 1, 1]);

function without(mesh: Mesh, ...tris: number[]): Mesh {
  return meshOf(
    mesh.positions,
    mesh.triangles.filter((_, i) => !tris.includes(Math.floor(i / 3))),
  );
}

describe('surfaceCheck', () => {
  it.each([
    ['box', CUBE, 1, 2, 0],
    ['ball', icoSphere(3, 2), 1, 2, 0],
    ['torus', torus({ majorMm: 5, minorMm: 1 }, 12, 8), 1, 0, 1],
    ['tube', tube({ outerMm: 5, wallMm: 1, heightMm: 9 }, 16, 3), 1, 0, 1],
    ['bowl', bowl({ outerMm: 100, wallMm: 3 }, 6), 1, 2, 0],
    ['hollow ball', hollowBall({ outerMm: 5, wallMm: 1 }, 1), 2, 4, 0],
    ['torus and ball', together([torus({ majorMm: 5, minorMm: 1 }, 9, 5), icoSphere(1, 1)]), 2, 2, 1],
  ] as const)('%s: closed and manifold', (_, mesh, shells, euler, genus) => {
    const check = surfaceCheck(mesh);
    expect(check).toMatchObject({ closed: true, manifold: true, shells, euler, genus, openEdges: 0, pinchedVerts: 0 });
    expect(check.firstFaultAtMm).toBeNull();
  });

  it('counts the edges of a hole and says where the first one is', () => {
    const check = surfaceCheck(without(CUBE, 0));
    expect(check).toMatchObject({ closed: false, manifold: false, openEdges: 3, shells: 1, euler: 1 });
    expect(check.genus).toBeNaN();
    expect(check.firstFaultAtMm![2]).toBe(0);
  });

  it('tells a triangle that faces the wrong way by its three clashing edges', () => {
    const triangles = CUBE.triangles.slice();
    [triangles[0], triangles[1]] = [triangles[1]!, triangles[0]!];
    expect(surfaceCheck(meshOf(CUBE.positions, triangles))).toMatchObject({
      clashingEdges: 3,
      openEdges: 0,
      closed: false,
    });
  });

  it('two boxes along one edge: an edge of four faces, and its ends are pinched', () => {
    const { mesh } = weldMesh(together([CUBE, box([1, 1, 0], [2, 2, 1])]));
    const check = surfaceCheck(mesh);
    expect(check).toMatchObject({ crowdedEdges: 1, openEdges: 0, clashingEdges: 0, shells: 2, closed: false });
    expect(check.euler).toBe(14 - (18 + 18 - 1) + 24);
  });

  it('two boxes at one point: closed, but pinched there', () => {
    const { mesh } = weldMesh(together([CUBE, box([1, 1, 1], [2, 2, 2])]));
    expect(surfaceCheck(mesh)).toMatchObject({ closed: true, manifold: false, pinchedVerts: 1, shells: 2 });
  });

  it('does not call nothing closed, and ignores vertices without a triangle', () => {
    expect(surfaceCheck(meshOf(new Float64Array(0), new Uint32Array(0)))).toMatchObject({ closed: false, shells: 0 });
    const stray = meshOf(Float64Array.from([...CUBE.positions, 9, 9, 9]), CUBE.triangles);
    expect(surfaceCheck(stray)).toMatchObject({ closed: true, euler: 2 });
  });

  it('labels shells in order of their first triangle', () => {
    const { shellOfTri } = surfaceCheck(together([CUBE, icoSphere(1, 0)]));
    expect([shellOfTri[0], shellOfTri[11], shellOfTri[12], shellOfTri[31]]).toEqual([0, 0, 1, 1]);
  });
});

describe('halfEdges', () => {
  it('pairs each side with the one that runs back', () => {
    const { twins } = halfEdges(CUBE);
    const end = (h: number): number => CUBE.triangles[h % 3 === 2 ? h - 2 : h + 1]!;
    twins.forEach((twin, h) => {
      expect(twins[twin]).toBe(h);
      expect([CUBE.triangles[twin], end(twin)]).toEqual([end(h), CUBE.triangles[h]]);
    });
  });

  it('leaves sides alone where a triangle repeats a vertex', () => {
    const { twins } = halfEdges(meshOf(new Float64Array(9), Uint32Array.from([0, 0, 1])));
    expect(twins[0]).toBe(NONE);
  });
});

describe('openLoops', () => {
  it('gives the length, the number of edges and the middle of each, longest first', () => {
    const open = without(together([box([0, 0, 0], [2, 2, 2]), box([9, 0, 0], [10, 1, 1])]), 0, 1, 14, 15);
    const loops = openLoops(open);
    expect(loops.map(({ lengthMm, edges }) => [lengthMm, edges])).toEqual([
      [8, 4],
      [4, 4],
    ]);
    expect(loops[0]!.atMm).toEqual([1, 1, 0]);
    expect(loops[1]!.atMm).toEqual([9.5, 0.5, 1]);
  });

  it('finds none on a closed mesh', () => {
    expect(openLoops(CUBE)).toEqual([]);
  });
});

it('turnedInsideOut changes the sign of the volume and nothing else', () => {
  expect(volume(turnedInsideOut(CUBE))).toBe(-1);
  expect(surfaceCheck(turnedInsideOut(CUBE)).manifold).toBe(true);
});
