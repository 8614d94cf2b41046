// The figure's geometry from the chapters' results: each piece at display quality, its creases, its seams, its way out.
import { partOfWork } from '../../base/work.ts';
import { creaseEdges } from '../../geometry/crease-edges.ts';
import { openEdgeLines } from '../../geometry/open-edge-lines.ts';
import { simplifyClosed } from '../../geometry/simplify.ts';
import { thinForDisplay } from '../../geometry/thin-for-display.ts';
import { bounds, middleOf, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';
import { chainTransforms, invertTransform, type Transform, transformMesh } from '../../mesh/transform.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { ModelRecord } from '../../workshop/process/model-record.ts';
import type { PiecesRecord, Seam } from '../../workshop/process/pieces-record.ts';
import {
  encodeFigure,
  type FigureAsRead,
  type FigureData,
  type FigureMark,
  type FigurePart,
  type FigureShape,
} from '../api/figure-codec.ts';
import { MEND_WORDS, wasMended } from './mend-words.ts';
import { wayOut } from './way-out.ts';

/** Triangles of the whole figure on the page. */
export const PAGE_FIGURE_TRIANGLES = 140_000;
/** Of the same at its coarse level. */
const COARSE_TRIANGLES = 16_000;
/** Of the model as it came, beside it. */
const AS_READ_TRIANGLES = 100_000;
/** Of a figure that is there before anything is computed. */
const DRAFT_TRIANGLES = 24_000;
/** A figure of no more triangles than this needs no coarse level. */
const COARSE_ENOUGH = 24_000;
const MOST_OPEN_EDGES = 40_000;
const CREASE_DEG = 35;

/** Empty bytes when neither a shell nor `source` is known. `source`: the mesh as read, file space, shown when no shell could be made
 *  of it. What was mended is shown beside its result on the page only; book.html prints both as drawings. */
export function figureOf(
  results: BookResults,
  work: ChapterWork,
  triangles = PAGE_FIGURE_TRIANGLES,
  source: MeshId | null = null,
): Uint8Array<ArrayBuffer> {
  const { model, wearer } = results;
  if (model.state !== 'computed')
    return source === null ? new Uint8Array() : figureOfSource(work.meshes.get(source), AS_READ_TRIANGLES);
  const scale = wearer.state === 'computed' ? wearer.record.scale : 1;
  const sizeMm = wearer.state === 'computed' ? wearer.record.sizeMm : model.record.sizeMm;
  const figure: FigureData = {
    parts: partsOf(results, partOfWork(work, 0, 0.8), triangles),
    sizeMm,
    asRead:
      triangles < PAGE_FIGURE_TRIANGLES ? null : asReadOf(model.record, { scale, work: partOfWork(work, 0.8, 1) }),
    toFile: [...chainTransforms(scaling(1 / scale), invertTransform(model.record.fromFile))],
    scale,
  };
  return encodeFigure(figure);
}

function partsOf(results: BookResults, work: ChapterWork, triangles: number): FigurePart[] {
  const { model, wearer, pieces, printing } = results;
  if (pieces.state === 'computed' && wearer.state === 'computed') {
    const sizeMm = wearer.record.sizeMm;
    const prints = printing.state === 'computed' ? printing.record.prints : [];
    const total = pieces.record.pieces.reduce((sum, piece) => sum + piece.triangles, 0);
    return pieces.record.pieces.map((piece, index): FigurePart => {
      work.tick(index / pieces.record.pieces.length, `drawing piece ${piece.id}`);
      const mesh = work.meshes.get(piece.mesh);
      const print = prints.find((candidate) => candidate.piece === piece.id);
      const way = wayOut(mesh, sizeMm);
      return {
        id: piece.id,
        name: piece.name,
        ...displayed(
          mesh,
          { triangles, share: Math.sqrt(piece.triangles / total) * shareOfRoots(pieces.record) },
          work,
        ),
        seams: seamLines(pieces.record.seams.filter((seam) => seam.pieces.includes(piece.id))),
        apart: way.unit,
        apartMm: way.mm,
        toLaid: print === undefined ? null : [...invertTransform(print.toModel)],
      };
    });
  }
  const shell = wearer.state === 'computed' ? wearer.record : model.state === 'computed' ? model.record : null;
  if (shell === null) return [];
  const whole: FigurePart = {
    id: 'whole',
    name: 'the shell',
    ...displayed(work.meshes.get(shell.mesh), { triangles, share: 1 }, work),
    seams: new Float32Array(),
    apart: [0, 0, 1],
    apartMm: 0,
    toLaid: null,
  };
  return [whole];
}

function asReadOf(model: ModelRecord, { scale, work }: { scale: number; work: ChapterWork }): FigureAsRead | null {
  if (!wasMended(model)) return null;
  work.tick(0, 'drawing the model as it came');
  const toFigure = chainTransforms(model.fromFile, scaling(scale));
  const mesh = transformMesh(toFigure, work.meshes.get(model.mended.asRead));
  const marks = model.mended.steps.flatMap(({ kind, count, atMm }, index): FigureMark[] =>
    atMm === null
      ? []
      : [
          {
            number: index + 1,
            name: `${MEND_WORDS[kind]}: ${count}`,
            atMm: [atMm[0] * scale, atMm[1] * scale, atMm[2] * scale],
          },
        ],
  );
  return { ...asReadShape(mesh, AS_READ_TRIANGLES), marks };
}

/** The model as it came, at once: thinned, not yet levelled, not yet mended. `inFile`: file space. */
export function draftFigure(inFile: Mesh): Uint8Array<ArrayBuffer> {
  return figureOfSource(inFile, DRAFT_TRIANGLES);
}

/** The model as it came, set on the ground where its chapter would set it. */
function figureOfSource(inFile: Mesh, triangles: number): Uint8Array<ArrayBuffer> {
  const box = bounds(inFile);
  const [x, y] = middleOf(box);
  const shift: Transform = [1, 0, 0, 0, 1, 0, 0, 0, 1, -x, -y, -box.minMm[2]];
  return encodeFigure({
    parts: [],
    sizeMm: sizeOf(box),
    asRead: { ...asReadShape(transformMesh(shift, inFile), triangles), marks: [] },
    toFile: [...invertTransform(shift)],
    scale: null,
  });
}

function asReadShape(mesh: Mesh, triangles: number): Omit<FigureAsRead, 'marks'> {
  const shown = thinForDisplay(mesh, { triangles });
  const coarse =
    numTris(shown) <= COARSE_ENOUGH ? null : shapeOf(thinForDisplay(shown, { triangles: COARSE_TRIANGLES }));
  return { ...shapeOf(shown), coarse, openEdges: openEdgeLines(mesh, { most: MOST_OPEN_EDGES }) };
}

function shapeOf(shown: Mesh): FigureShape {
  return {
    positions: Float32Array.from(shown.positions),
    triangles: shown.triangles,
    creases: creaseEdges(shown, { angleDeg: CREASE_DEG }),
  };
}

function scaling(factor: number): Transform {
  return [factor, 0, 0, 0, factor, 0, 0, 0, factor, 0, 0, 0];
}

/** Small pieces get more than their share, so that each stays readable; the shares still sum to one. */
function shareOfRoots(record: PiecesRecord): number {
  const total = record.pieces.reduce((sum, piece) => sum + piece.triangles, 0);
  const roots = record.pieces.reduce((sum, piece) => sum + Math.sqrt(piece.triangles / total), 0);
  return 1 / roots;
}

/** `share`: of the triangles of the whole figure, those of this part. */
function displayed(
  mesh: Mesh,
  { triangles, share }: { triangles: number; share: number },
  work: ChapterWork,
): FigureShape & Pick<FigurePart, 'coarse'> {
  const most = triangles * share;
  const shown = numTris(mesh) <= most ? mesh : simplifyClosed(mesh, { triangles: Math.round(most) }, work);
  const few = Math.round(COARSE_TRIANGLES * share);
  const levels = triangles < PAGE_FIGURE_TRIANGLES || numTris(shown) * 2 <= few * 3 ? 1 : 2;
  const coarse = levels === 1 ? null : shapeOf(simplifyClosed(shown, { triangles: few }, work));
  return { ...shapeOf(shown), coarse };
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
