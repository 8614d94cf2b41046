// A solid cut in two by a plane, as the chapter hands pieces and seams to its keys.

import type { Plane } from '../../../src/geometry/plane.ts';
import { sectionByPlane } from '../../../src/geometry/plane-section.ts';
import { splitByPlane } from '../../../src/geometry/plane-split.ts';
import type { Mesh } from '../../../src/mesh/mesh.ts';
import { type KeyGround, keyGround } from '../../../src/workshop/pieces/joints/key-ground.ts';
import { type PlainPiece, sectionsOf } from '../../../src/workshop/pieces/joints/read-sections.ts';
import type { SeamSection } from '../../../src/workshop/pieces/joints/seam-section.ts';
import type { Seam } from '../../../src/workshop/process/pieces-record.ts';
import { testKernel } from '../kernel.ts';

const kernel = await testKernel();

export interface CutSolid {
  /** A lies below, B above. */
  readonly pieces: readonly [PlainPiece, PlainPiece];
  readonly section: SeamSection;
  readonly ground: KeyGround;
  readonly seen: Uint8Array;
}

/** isOuter: whether a triangle, by its middle, is on the outside; without it all are. The cut must leave one face. */
export function cutSolid(
  mesh: Mesh,
  plane: Plane,
  isOuter: (x: number, y: number, z: number) => boolean = () => true,
): CutSolid {
  const split = splitByPlane(mesh, plane, { triangulate: kernel.triangulate });
  if (!split.ok) throw new Error(split.why);
  const { below, above } = split.value;
  const { positions: p, triangles: t } = mesh;
  const seen = Uint8Array.from({ length: t.length / 3 }, (_, tri) => {
    const middle = (k: number): number => [0, 1, 2].reduce((sum, c) => sum + p[t[tri * 3 + c]! * 3 + k]! / 3, 0);
    return isOuter(middle(0), middle(1), middle(2)) ? 100 : 0;
  });
  const { outlines, areaMm2 } = sectionByPlane(mesh, plane);
  const pieces = [
    { id: 'A', ...below },
    { id: 'B', ...above },
  ] as const;
  const seam: Seam = {
    id: 'A-B',
    pieces: ['A', 'B'],
    plane,
    cut: 0,
    asked: null,
    within: [],
    bowMm: 0,
    outerMm: 0,
    costMm: 0,
    lines: [],
    places: { creaseMm: 0, frontMm: 0, sidesMm: 0, backMm: 0, aboveMm: 0, unseenMm: 0 },
    innerMm: 0,
    areaMm2,
    outlines: outlines.map((outline) => Float32Array.from(outline)),
  };
  return {
    pieces: [pieces[0], pieces[1]],
    section: sectionsOf(pieces, [seam], seen)[0]!,
    ground: keyGround(mesh, pieces, seen),
    seen,
  };
}
