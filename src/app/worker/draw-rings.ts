// The map of rings: the helm from two sides with every tenth layer drawn where single layers will show.
import { partOfWork } from '../../base/work.ts';
import { type DrawingPart, lineDrawing } from '../../documents/drawing/line-drawing.ts';
import { svgOf } from '../../documents/drawing/svg.ts';
import { hatchLines } from '../../geometry/hatch-lines.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { invertTransform, transformMesh, transformPositions } from '../../mesh/transform.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { Piece } from '../../workshop/process/pieces-record.ts';
import type { Print } from '../../workshop/process/printing-record.ts';
import { STROKES } from './book-strokes.ts';

const FROM_FRONT_LEFT: Vec3 = [-0.55, 0.75, -0.36];
const FROM_BACK_RIGHT: Vec3 = [0.55, -0.75, -0.36];
/** One layer in so many is drawn. */
const LAYERS_A_LINE = 10;

export interface RingedPiece {
  readonly piece: Piece;
  readonly print: Print;
}

/** Two SVGs at one scale, as those of a division. `seen`: per triangle of the worn shell, 0 on the inside. Space: worn. */
export function drawRings(
  ringed: readonly RingedPiece[],
  seen: Uint8Array,
  layerMm: number,
  work: ChapterWork,
): string {
  const parts = ringed.map((one) => ringPart(one, seen, layerMm, work));
  const size = { widthMm: 92, maxHeightMm: 110, maxBytes: 120_000 };
  const front = lineDrawing(parts, { ...size, viewDir: FROM_FRONT_LEFT }, partOfWork(work, 0, 0.5));
  const beside = { ...size, viewDir: FROM_BACK_RIGHT, scale: front.scale };
  const back = lineDrawing(parts, beside, partOfWork(work, 0.5, 1));
  const title = 'Where rings of layers will show, from its';
  return (
    svgOf(front, { title: `${title} front left`, strokes: STROKES }) +
    svgOf(back, { title: `${title} back right`, strokes: STROKES })
  );
}

function ringPart({ piece, print }: RingedPiece, seen: Uint8Array, layerMm: number, work: ChapterWork): DrawingPart {
  const mesh = work.meshes.get(piece.mesh);
  const laid = transformMesh(invertTransform(print.toModel), mesh);
  const ringed = ringTriangles(laid, (t) => piece.sourceTri[t]! >= 0 && seen[piece.sourceTri[t]!] !== 0);
  const lines = hatchLines(laid, ringed, { normal: [0, 0, 1], spacingMm: LAYERS_A_LINE * layerMm });
  const hatched = lines.map((line) => Float32Array.from(transformPositions(print.toModel, Float64Array.from(line))));
  return { id: piece.id, mesh, hatched };
}

/** Offsets of those that lean less than 45 degrees from level. */
function ringTriangles({ positions: p, triangles }: Mesh, isOutside: (t: number) => boolean): Uint32Array {
  const found: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    if (!isOutside(t / 3)) continue;
    const [a, b, c] = [triangles[t]! * 3, triangles[t + 1]! * 3, triangles[t + 2]! * 3];
    const [ex, ey, ez] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [fx, fy, fz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const nz = Math.abs(ex * fy - ey * fx);
    if (nz > Math.hypot(ey * fz - ez * fy, ez * fx - ex * fz)) found.push(t);
  }
  return Uint32Array.from(found);
}
