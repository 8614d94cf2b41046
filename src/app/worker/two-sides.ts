// The helm from two sides at one scale, beside each other: what stands on it is seen somewhere.
import { partOfWork, type Work } from '../../base/work.ts';
import { type DrawingPart, lineDrawing } from '../../documents/drawing/line-drawing.ts';
import { svgOf } from '../../documents/drawing/svg.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import { STROKES } from './book-strokes.ts';

const FROM_FRONT_LEFT: Vec3 = [-0.55, 0.75, -0.36];
const FROM_BACK_RIGHT: Vec3 = [0.55, -0.75, -0.36];

/** Two SVGs, one after the other, from the front left and from the back right: the page sets them side by side, or on a narrow screen one below the other, where their
 *  names can be read. `title`: up to "from its". Space of the parts: worn. */
export function twoSides(parts: readonly DrawingPart[], title: string, work: Work): string {
  const size = { widthMm: 92, maxHeightMm: 110, maxBytes: 90_000 };
  const front = lineDrawing(parts, { ...size, viewDir: FROM_FRONT_LEFT }, partOfWork(work, 0, 0.5));
  const beside = { ...size, viewDir: FROM_BACK_RIGHT, scale: front.scale };
  const back = lineDrawing(parts, beside, partOfWork(work, 0.5, 1));
  return (
    svgOf(front, { title: `${title} front left`, strokes: STROKES }) +
    svgOf(back, { title: `${title} back right`, strokes: STROKES })
  );
}
