// The map of reach: the shell from two sides, hatched the closer the smaller the tool is that gets there.
import { partOfWork, type Work } from '../../base/work.ts';
import { lineDrawing } from '../../documents/drawing/line-drawing.ts';
import { svgOf } from '../../documents/drawing/svg.ts';
import { hatchLines } from '../../geometry/hatch-lines.ts';
import { unit } from '../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { STROKES } from './book-strokes.ts';

const FROM_FRONT_LEFT: Vec3 = [-0.55, 0.75, -0.36];
const FROM_BACK_RIGHT: Vec3 = [0.55, -0.75, -0.36];
/** Between lines, mm, by 1 + the place in FINISH_TOOLS: folded paper, swab, finger, block; the sander's places stay bare. */
const SPACING_MM = [1.6, 2.6, 4.5, 9] as const;
/** Aslant to the axes, so that lines cross upright walls and level faces alike. */
const ACROSS: Vec3 = unit([0.45, 0.25, 0.86]);

/** Two SVGs at one scale. `perTri`: as SurfaceReach. Space: worn. */
export function drawReach(mesh: Mesh, perTri: Uint8Array, work: Work): string {
  const hatched = SPACING_MM.flatMap((spacingMm, tool) =>
    hatchLines(mesh, trianglesOf(perTri, tool + 1), { normal: ACROSS, spacingMm }),
  );
  const parts = [{ id: 'shell', mesh, hatched }];
  const size = { widthMm: 92, maxHeightMm: 110, maxBytes: 160_000 };
  const front = lineDrawing(parts, { ...size, viewDir: FROM_FRONT_LEFT }, partOfWork(work, 0, 0.5));
  const beside = { ...size, viewDir: FROM_BACK_RIGHT, scale: front.scale };
  const back = lineDrawing(parts, beside, partOfWork(work, 0.5, 1));
  const title = 'What sands where, from its';
  return (
    svgOf(front, { title: `${title} front left`, strokes: STROKES }) +
    svgOf(back, { title: `${title} back right`, strokes: STROKES })
  );
}

/** Offsets into `triangles`. */
function trianglesOf(perTri: Uint8Array, of: number): Uint32Array {
  const found: number[] = [];
  for (let t = 0; t < perTri.length; t++) if (perTri[t] === of) found.push(t * 3);
  return Uint32Array.from(found);
}
