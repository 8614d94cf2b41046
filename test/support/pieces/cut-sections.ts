// Shells of known walls cut by planes that a test names, with their seams as sections and the ground for keys.
import type { Plane } from '../../../src/geometry/plane.ts';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';
import { pieceLetter } from '../../../src/workshop/pieces/cut/piece-names.ts';
import { seamFaces } from '../../../src/workshop/pieces/cut/seam-faces.ts';
import { type KeyGround, keyGround } from '../../../src/workshop/pieces/joints/key-ground.ts';
import { type PlainPiece, sectionsOf } from '../../../src/workshop/pieces/joints/read-sections.ts';
import type { SeamSection } from '../../../src/workshop/pieces/joints/seam-section.ts';
import type { Seam } from '../../../src/workshop/process/pieces-record.ts';
import { cutByPlanes, type PlaneTree } from './cut-by-planes.ts';

export interface CutShell {
  readonly shell: Mesh;
  readonly pieces: readonly PlainPiece[];
  readonly sections: readonly SeamSection[];
  readonly ground: KeyGround;
  readonly seen: Uint8Array;
}

/** isOutside: by the middle of a triangle and its normal. */
export function cutShell(shell: Mesh, tree: PlaneTree, isOutside: (middle: Vec3, normal: Vec3) => boolean): CutShell {
  const seen = outsideOf(shell, isOutside);
  const { parts, cuts } = cutByPlanes(shell, tree);
  const faces = seamFaces(parts, cuts, seen);
  const pieces = parts.map(({ part }, i) => ({
    id: pieceLetter(i),
    mesh: part.mesh,
    sourceTri: faces.sourceTri[i]!,
  }));
  const seams = faces.seams.map(
    (face): Seam => ({
      ...face,
      id: `${pieceLetter(face.below)}-${pieceLetter(face.above)}`,
      pieces: [pieceLetter(face.below), pieceLetter(face.above)],
      asked: null,
      within: [],
      costMm: 0,
      lines: [],
      places: { creaseMm: 0, frontMm: 0, sidesMm: 0, backMm: 0, aboveMm: 0, unseenMm: 0 },
    }),
  );
  return { shell, pieces, seen, sections: sectionsOf(pieces, seams, seen), ground: keyGround(shell, pieces, seen) };
}

/** One cut. */
export function cutInTwo(shell: Mesh, plane: Plane, isOutside: (middle: Vec3, normal: Vec3) => boolean): CutShell {
  return cutShell(shell, { plane }, isOutside);
}

function outsideOf({ positions: p, triangles: t }: Mesh, is: (middle: Vec3, normal: Vec3) => boolean): Uint8Array {
  return Uint8Array.from({ length: t.length / 3 }, (_, tri) => {
    const [a, b, c] = [0, 1, 2].map((k) => [0, 1, 2].map((i) => p[t[tri * 3 + k]! * 3 + i]!)) as unknown as [
      Vec3,
      Vec3,
      Vec3,
    ];
    const u = b.map((v, i) => v - a[i]!) as unknown as Vec3;
    const v = c.map((w, i) => w - a[i]!) as unknown as Vec3;
    const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    return is([0, 1, 2].map((i) => (a[i]! + b[i]! + c[i]!) / 3) as unknown as Vec3, n) ? 1 : 0;
  });
}
