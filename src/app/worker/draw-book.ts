// The line drawings of the book: the shell, the pieces apart, each piece as it lies on its machine.
import { partOfWork } from '../../base/work.ts';
import { type DrawingPart, type LineKind, lineDrawing } from '../../documents/drawing/line-drawing.ts';
import { type Stroke, svgOf } from '../../documents/drawing/svg.ts';
import { openEdgeChains } from '../../geometry/open-edge-lines.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';
import { invertTransform, transformMesh, transformPositions } from '../../mesh/transform.ts';
import type { Drawings } from '../../workshop/book/book-text.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import { wasMended } from './mend-words.ts';
import { wayOut } from './way-out.ts';

/** Colours are left to the page, so that one drawing serves paper and slate. */
const STROKES: Readonly<Record<LineKind, Stroke>> = {
  outline: { widthMm: 0.5, color: 'var(--ink, #1c1b1a)' },
  silhouette: { widthMm: 0.32, color: 'var(--ink, #1c1b1a)' },
  crease: { widthMm: 0.16, color: 'var(--ink, #1c1b1a)' },
  seam: { widthMm: 0.34, color: 'var(--seam, #a8421f)' },
  shade: { widthMm: 0.09, color: 'var(--shade, #6b6864)' },
  rim: { widthMm: 0.5, color: 'var(--seam, #a8421f)' },
};

/** Heavier: a thumbnail is shown at half its size or less. */
const SMALL_STROKES = Object.fromEntries(
  Object.entries(STROKES).map(([kind, { widthMm, color }]) => [kind, { widthMm: widthMm * 1.6, color }]),
) as Readonly<Record<LineKind, Stroke>>;

/** 'thumb' (small, for the shelf), 'whole', 'as-read' where something was mended, 'apart', and 'piece-ID' for every print; whatever is not known yet is left out.
 *  `source`: the mesh as read, file space, drawn as 'as-read' when no shell could be made of it. */
export function drawBook(results: BookResults, work: ChapterWork, source: MeshId | null = null): Drawings {
  const { model, wearer, pieces, printing } = results;
  const drawings: Record<string, string> = {};
  if (model.state !== 'computed') {
    if (source === null) return drawings;
    const asRead = work.meshes.get(source);
    drawings.thumb = drawnSmall(asRead, partOfWork(work, 0, 0.1));
    drawings['as-read'] = drawnAsRead(asRead, partOfWork(work, 0.1, 1));
    return drawings;
  }
  const shell = wearer.state === 'computed' ? wearer.record : model.record;
  const { asRead } = model.record.mended;
  if (wasMended(model.record)) {
    const mesh = transformMesh(model.record.fromFile, work.meshes.get(asRead));
    drawings['as-read'] = drawnAsRead(mesh, partOfWork(work, 0, 0.2));
  }
  drawings.thumb = drawnSmall(work.meshes.get(shell.mesh), partOfWork(work, 0.2, 0.22));
  drawings.whole = drawn(
    [{ id: 'shell', mesh: work.meshes.get(shell.mesh) }],
    'The shell from its front left',
    partOfWork(work, 0.22, 0.4),
  );
  if (pieces.state !== 'computed' || pieces.record.pieces.length === 0) return drawings;
  const { record } = pieces;
  const apart = record.pieces.map((piece): DrawingPart => {
    const mesh = work.meshes.get(piece.mesh);
    const way = wayOut(mesh, shell.sizeMm);
    const shift = way.unit.map((u) => u * way.mm) as unknown as Vec3;
    const seams = record.seams.filter((seam) => seam.pieces.includes(piece.id)).flatMap((seam) => seam.outlines);
    return { id: piece.id, mesh: shifted(mesh, shift), seams: seams.map((loop) => shiftedLoop(loop, shift)) };
  });
  if (record.pieces.length > 1) drawings.apart = drawn(apart, 'The pieces apart', partOfWork(work, 0.4, 0.7));
  if (printing.state !== 'computed') return drawings;
  for (const [index, print] of printing.record.prints.entries()) {
    const piece = record.pieces.find((candidate) => candidate.id === print.piece);
    if (piece === undefined) continue;
    const laid = transformMesh(invertTransform(print.toModel), work.meshes.get(piece.mesh));
    const from = 0.7 + (0.3 * index) / printing.record.prints.length;
    drawings[`piece-${piece.id}`] = drawn(
      [{ id: piece.id, mesh: laid }],
      `Piece ${piece.id} as it lies`,
      partOfWork(work, from, from + 0.3 / printing.record.prints.length),
      60,
    );
  }
  return drawings;
}

/** Where it is open its rims are red, as seams are: take care. */
function drawnAsRead(mesh: Mesh, work: ChapterWork): string {
  const rims = openEdgeChains(mesh);
  return drawn([{ id: 'as-read', mesh, rims }], 'The model as it came, from its front left', work);
}

/** A few lines in the same pen, for the shelf: folds and sharp edges, no shading. */
function drawnSmall(mesh: Mesh, work: ChapterWork): string {
  const drawing = lineDrawing(
    [{ id: 'shell', mesh }],
    { widthMm: 120, maxHeightMm: 120, maxBytes: 10_000, simplifyMm: 0.15, pixelsPerMm: 7, stepMm: 0.8 },
    work,
  );
  return svgOf(drawing, { title: '', strokes: SMALL_STROKES });
}

function drawn(parts: readonly DrawingPart[], title: string, work: ChapterWork, widthMm = 150): string {
  const size =
    widthMm < 100
      ? { widthMm, maxHeightMm: widthMm, maxBytes: 40_000 }
      : { widthMm, maxHeightMm: 170, shade: 'lines' as const };
  return svgOf(lineDrawing(parts, size, work), { title, strokes: STROKES });
}

function shifted(mesh: Mesh, by: Vec3): Mesh {
  return transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, ...by], mesh);
}

function shiftedLoop(loop: Float32Array, by: Vec3): Float32Array {
  return Float32Array.from(transformPositions([1, 0, 0, 0, 1, 0, 0, 0, 1, ...by], Float64Array.from(loop)));
}
