// The figure's geometry from the chapters' results: each piece at display quality, its creases, its seams, its way out.
import { creaseEdges } from '../../geometry/crease-edges.ts';
import { simplifyClosed } from '../../geometry/simplify.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import { invertTransform } from '../../mesh/transform.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { PiecesRecord, Seam } from '../../workshop/process/pieces-record.ts';
import { encodeFigure, type FigurePart } from '../api/figure-codec.ts';
import { wayOut } from './way-out.ts';

/** Triangles of the whole figure on the page. */
export const PAGE_FIGURE_TRIANGLES = 140_000;
const CREASE_DEG = 35;

/** Empty bytes when not even the shell is known. */
export function figureOf(
  results: BookResults,
  work: ChapterWork,
  triangles = PAGE_FIGURE_TRIANGLES,
): Uint8Array<ArrayBuffer> {
  const { model, wearer, pieces, printing } = results;
  if (pieces.state === 'computed' && wearer.state === 'computed') {
    const sizeMm = wearer.record.sizeMm;
    const prints = printing.state === 'computed' ? printing.record.prints : [];
    const total = pieces.record.pieces.reduce((sum, piece) => sum + piece.triangles, 0);
    const parts = pieces.record.pieces.map((piece, index): FigurePart => {
      work.tick(index / pieces.record.pieces.length, `drawing piece ${piece.id}`);
      const mesh = work.meshes.get(piece.mesh);
      const print = prints.find((candidate) => candidate.piece === piece.id);
      const way = wayOut(mesh, sizeMm);
      return {
        id: piece.id,
        name: piece.name,
        ...displayed(mesh, triangles * Math.sqrt(piece.triangles / total) * shareOfRoots(pieces.record), work),
        seams: seamLines(pieces.record.seams.filter((seam) => seam.pieces.includes(piece.id))),
        apart: way.unit,
        apartMm: way.mm,
        toLaid: print === undefined ? null : [...invertTransform(print.toModel)],
      };
    });
    return encodeFigure({ parts, sizeMm });
  }
  const shell = wearer.state === 'computed' ? wearer.record : model.state === 'computed' ? model.record : null;
  if (shell === null) return new Uint8Array();
  const whole: FigurePart = {
    id: 'whole',
    name: 'the shell',
    ...displayed(work.meshes.get(shell.mesh), triangles, work),
    seams: new Float32Array(),
    apart: [0, 0, 1],
    apartMm: 0,
    toLaid: null,
  };
  return encodeFigure({ parts: [whole], sizeMm: shell.sizeMm });
}

/** Small pieces get more than their share, so that each stays readable; the shares still sum to one. */
function shareOfRoots(record: PiecesRecord): number {
  const total = record.pieces.reduce((sum, piece) => sum + piece.triangles, 0);
  const roots = record.pieces.reduce((sum, piece) => sum + Math.sqrt(piece.triangles / total), 0);
  return 1 / roots;
}

function displayed(
  mesh: Mesh,
  triangles: number,
  work: ChapterWork,
): Pick<FigurePart, 'positions' | 'triangles' | 'creases'> {
  const shown = numTris(mesh) <= triangles ? mesh : simplifyClosed(mesh, { triangles: Math.round(triangles) }, work);
  return {
    positions: Float32Array.from(shown.positions),
    triangles: shown.triangles,
    creases: creaseEdges(shown, { angleDeg: CREASE_DEG }),
  };
}

function seamLines(seams: readonly Seam[]): Float32Array {
  const lines: number[] = [];
  for (const outline of seams.flatMap((seam) => seam.outlines)) {
    for (let i = 0; i < outline.length; i += 3) {
      const next = (i + 3) % outline.length;
      for (const at of [i, next]) lines.push(outline[at]!, outline[at + 1]!, outline[at + 2]!);
    }
  }
  return Float32Array.from(lines);
}
