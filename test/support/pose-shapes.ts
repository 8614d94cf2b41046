// Pieces of few triangles whose best pose is not plain to see, with what shows of them: for searches over thousands of directions.
import { areaNormals, bounds, middleOf } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris, type Vec3 } from '../../src/mesh/mesh.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { INSIDE, SHOWN } from '../../src/workshop/printing/surface-kinds.ts';
import { blob } from './print-blob.ts';
import { quickHelm } from './quick-helm.ts';
import { turned } from './section-shapes.ts';

export interface PoseShape {
  readonly name: string;
  readonly mesh: Mesh;
  readonly kinds: Uint8Array;
}

/** A bracket of two arms, 6 thick, 60 and 40 long and 20 deep, with a lip. */
function bracket(): Mesh {
  return extruded(
    [
      [0, 0],
      [60, 0],
      [60, 6],
      [6, 6],
      [6, 34],
      [16, 34],
      [16, 40],
      [0, 40],
    ],
    20,
    [
      [0, 1, 2],
      [0, 2, 3],
      [0, 3, 4],
      [0, 4, 7],
      [4, 5, 6],
      [4, 6, 7],
    ],
  );
}

/** A flat outline, counter-clockwise, with its triangles, made `depth` deep. */
function extruded(outline: readonly (readonly [number, number])[], depth: number, caps: readonly Vec3[]): Mesh {
  const n = outline.length;
  const positions = [0, depth].flatMap((z) => outline.flatMap(([x, y]) => [x, y, z]));
  const triangles = [
    ...caps.flatMap(([a, b, c]) => [a, c, b, a + n, b + n, c + n]),
    ...outline.flatMap((_, i) => {
      const j = (i + 1) % n;
      return [i, j, j + n, i, j + n, i + n];
    }),
  ];
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

/** By an angle about each axis in turn, degrees: so that no face is level by chance. */
function turnedBy(mesh: Mesh, deg: Vec3): Mesh {
  let out = mesh;
  const [a, b, c] = deg.map((d) => (d * Math.PI) / 180) as [number, number, number];
  for (const turn of [
    [1, 0, 0, 0, Math.cos(a), Math.sin(a), 0, -Math.sin(a), Math.cos(a), 0, 0, 0],
    [Math.cos(b), 0, -Math.sin(b), 0, 1, 0, Math.sin(b), 0, Math.cos(b), 0, 0, 0],
    [Math.cos(c), Math.sin(c), 0, -Math.sin(c), Math.cos(c), 0, 0, 0, 1, 0, 0, 0],
  ])
    out = transformMesh(turn, out);
  return out;
}

/** What faces away from the middle of the body shows. */
function outward(mesh: Mesh): Uint8Array {
  const middle = middleOf(bounds(mesh));
  const normals = areaNormals(mesh);
  return Uint8Array.from({ length: numTris(mesh) }, (_, t) => {
    const v = mesh.triangles[t * 3]! * 3;
    let side = 0;
    for (let c = 0; c < 3; c++) side += normals[t * 3 + c]! * (mesh.positions[v + c]! - middle[c]!);
    return side > 0 ? SHOWN : INSIDE;
  });
}

const shape = (name: string, mesh: Mesh): PoseShape => ({ name, mesh, kinds: outward(mesh) });

/** A bracket, a cup, a pebble without a flat place, a small dome that narrows below like a helm, and a lamp foot waisted in the middle. */
export function poseShapes(): readonly PoseShape[] {
  return [
    shape('bracket', turnedBy(bracket(), [33, 21, 57])),
    shape(
      'cup',
      turnedBy(
        turned(
          [
            [0, 0],
            [22, 0],
            [26, 44],
            [23, 44],
            [19, 3],
            [0, 3],
          ],
          24,
        ),
        [110, 40, 0],
      ),
    ),
    shape(
      'pebble',
      blob(
        15,
        [
          [0.1, 0.7],
          [0.08, 2.1],
          [0.05, 4],
        ],
        11,
      ),
    ),
    shape('dome', quickHelm({ radiiMm: [30, 36, 38], wallMm: 3, rings: 8, around: 20 })),
    shape(
      'foot',
      turnedBy(
        turned(
          [
            [0, 0],
            [24, 0],
            [24, 5],
            [8, 14],
            [6, 26],
            [18, 38],
            [0, 38],
          ],
          26,
        ),
        [12, 64, 8],
      ),
    ),
  ];
}
