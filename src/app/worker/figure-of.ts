// The figure's geometry from the chapters' results: each piece at display quality, its creases, its seams, its way out.
import { canonicalJson } from '../../base/canonical-json.ts';
import { sha256OfText } from '../../base/sha256.ts';
import { partOfWork } from '../../base/work.ts';
import { creaseEdges } from '../../geometry/crease-edges.ts';
import { openEdgeLines } from '../../geometry/open-edge-lines.ts';
import { simplifyClosed } from '../../geometry/simplify.ts';
import { thinForDisplay } from '../../geometry/thin-for-display.ts';
import { bounds, middleOf, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, meshOf, numTris, type Vec3 } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';
import { chainTransforms, invertTransform, type Transform, transformMesh } from '../../mesh/transform.ts';
import { builtPieces } from '../../workshop/book/built-pieces.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import { joinedOrder } from '../../workshop/book/joined-order.ts';
import type { ClearArea } from '../../workshop/process/asked-seams.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { ModelRecord } from '../../workshop/process/model-record.ts';
import type { Piece } from '../../workshop/process/pieces-record.ts';
import type { Print } from '../../workshop/process/printing-record.ts';
import {
  encodeFigure,
  type FigureAsRead,
  type FigureData,
  type FigureExposure,
  type FigureMark,
  type FigurePart,
  type FigureShape,
} from '../api/figure-codec.ts';
import { pieceMaps } from './figure-maps.ts';
import { figureNames } from './figure-names.ts';
import { hiddenTones } from './hidden-tone.ts';
import { joinedWays } from './joined-ways.ts';
import { type Kept, NOTHING_KEPT } from './kept.ts';
import { MEND_WORDS, wasMended } from './mend-words.ts';
import { outsideOf } from './outside-of.ts';
import { seamSegments } from './seam-segments.ts';
import { scarSegments } from './support-scars.ts';
import { wayOut } from './way-out.ts';

/** Triangles of the whole figure on the page. */
export const PAGE_FIGURE_TRIANGLES = 140_000;
/** Of the same at its coarse level. */
const COARSE_TRIANGLES = 16_000;
/** Of the model as it came, beside it. */
const AS_READ_TRIANGLES = 100_000;
/** Of the same at its coarse level. */
const AS_READ_COARSE_TRIANGLES = 24_000;
const MOST_OPEN_EDGES = 40_000;
const CREASE_DEG = 35;
/** Pieces stand so far from each other along the ways of their joins, as a share of the largest size. */
const JOINED_SHARE = 0.42;

export interface FigureOptions {
  /** Of all parts together. */
  readonly triangles: number;
  /** The mesh as read, file space, shown when no shell could be made of it. */
  readonly source: MeshId | null;
  /** What a millimetre of seam counts where nobody looks, as the build has it. */
  readonly hidden: number;
  /** Areas kept clear of seams, as the build has them. */
  readonly clear: readonly ClearArea[];
  /** A surface is thinned once: another layer height only lays the pieces another way. */
  readonly kept: Kept;
}

/** Empty bytes when neither a shell nor `source` is known. What was mended is shown beside its result on the page only; book.html
 *  prints both as drawings. */
export function figureOf(
  results: BookResults,
  work: ChapterWork,
  options: Partial<FigureOptions> = {},
): Uint8Array<ArrayBuffer> {
  const all = { triangles: PAGE_FIGURE_TRIANGLES, source: null, hidden: 0, clear: [], kept: NOTHING_KEPT, ...options };
  const { model, wearer } = results;
  if (model.state !== 'computed')
    return all.source === null ? new Uint8Array() : figureOfSource(all.source, work, all.kept);
  const scale = wearer.state === 'computed' ? wearer.record.scale : 1;
  const sizeMm = wearer.state === 'computed' ? wearer.record.sizeMm : model.record.sizeMm;
  const figure: FigureData = {
    parts: partsOf(results, partOfWork(work, 0, 0.8), all),
    sizeMm,
    asRead:
      all.triangles < PAGE_FIGURE_TRIANGLES
        ? null
        : asReadOf(model.record, { scale, work: partOfWork(work, 0.8, 0.9), kept: all.kept }),
    toFile: [...chainTransforms(scaling(1 / scale), invertTransform(model.record.fromFile))],
    scale,
    outside:
      all.triangles < PAGE_FIGURE_TRIANGLES
        ? null
        : outsideOf(results, all.hidden, { work: partOfWork(work, 0.9, 1), kept: all.kept }),
    named: figureNames(results, all.clear, work),
  };
  return encodeFigure(figure);
}

/** The model as it came, at once: thinned, not yet levelled, not yet mended, and without its open edges. `inFile`: file space. */
export function draftFigure(inFile: Mesh): Uint8Array<ArrayBuffer> {
  const { shift, sizeMm } = ontoGround(inFile);
  const shown = transformMesh(shift, thinForDisplay(inFile, { triangles: AS_READ_TRIANGLES }));
  return encodeFigure({
    parts: [],
    sizeMm,
    asRead: { ...thinnedShapes(shown), openEdges: new Float32Array(), marks: [] },
    toFile: [...invertTransform(shift)],
    scale: null,
    outside: null,
  });
}

function partsOf(results: BookResults, work: ChapterWork, options: FigureOptions): FigurePart[] {
  const { model, wearer, pieces, printing } = results;
  if (pieces.state === 'computed' && wearer.state === 'computed') {
    const sizeMm = wearer.record.sizeMm;
    const prints = printing.state === 'computed' ? printing.record.prints : [];
    const limitDeg = printing.state === 'computed' ? printing.record.overhangLimitDeg : 0;
    const scarsOf = ({ positions, triangles }: FigureShape, print: Print): Float32Array =>
      scarSegments(meshOf(Float64Array.from(positions), triangles), invertTransform(print.toModel), limitDeg);
    const mapsOf = pieceMaps(results, options.kept, work);
    const built = builtPieces(results) ?? [];
    const ways = joinedWays(joinedOrder(results), pieces.record.seams, JOINED_SHARE * Math.max(...sizeMm));
    const total = built.reduce((sum, piece) => sum + piece.triangles, 0);
    return built.map((piece, index): FigurePart => {
      work.tick(index / built.length, `drawing piece ${piece.id}`);
      const mesh = work.meshes.get(piece.mesh);
      const print = prints.find((candidate) => candidate.piece === piece.id);
      const way = wayOut(mesh, sizeMm);
      const shape = displayed(
        piece.mesh,
        { ...options, share: Math.sqrt(piece.triangles / total) * shareOfRoots(built) },
        work,
      );
      const { seams, ...looks } = seamSegments(pieces.record.seams.filter((seam) => seam.pieces.includes(piece.id)));
      const levels = [shape.positions, ...(shape.coarse === null ? [] : [shape.coarse.positions])];
      const key = `figure tone 2 ${pieces.fingerprint} ${piece.mesh} ${levels.map(({ length }) => length).join(' ')}`;
      const tones = (): readonly Uint8Array[] =>
        options.kept(sha256OfText(key), () =>
          hiddenTones({ mesh, sourceTri: piece.sourceTri, seen: pieces.record.seen }, levels),
        );
      return {
        id: piece.id,
        name: piece.name,
        ...shape,
        seams,
        exposure: pieces.record.seams.length === 0 ? null : exposureOf(tones(), looks),
        apart: way.unit,
        apartMm: way.mm,
        joined: ways.get(piece.id) ?? null,
        toLaid: print === undefined ? null : [...invertTransform(print.toModel)],
        ...(print === undefined || print.supportG === 0 ? {} : { scars: scarsOf(shape, print) }),
        ...mapsOf(piece, print),
      };
    });
  }
  const shell = wearer.state === 'computed' ? wearer.record : model.state === 'computed' ? model.record : null;
  if (shell === null) return [];
  const whole: FigurePart = {
    id: 'whole',
    name: 'the shell',
    ...displayed(shell.mesh, { ...options, share: 1 }, work),
    seams: new Float32Array(),
    exposure: null,
    apart: [0, 0, 1],
    apartMm: 0,
    joined: null,
    toLaid: null,
  };
  return [whole];
}

function asReadOf(
  model: ModelRecord,
  { scale, work, kept }: { readonly scale: number; readonly work: ChapterWork; readonly kept: Kept },
): FigureAsRead | null {
  if (!wasMended(model)) return null;
  const toFigure = chainTransforms(model.fromFile, scaling(scale));
  const { asRead } = model.mended;
  const shape = kept(sha256OfText(`figure as read 6 ${asRead} ${canonicalJson([...toFigure])}`), () => {
    work.tick(0, 'drawing the model as it came');
    return asReadShape(transformMesh(toFigure, work.meshes.get(asRead)));
  });
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
  return { ...shape, marks };
}

/** The model as it came, set on the ground where its chapter would set it. */
function figureOfSource(source: MeshId, work: ChapterWork, kept: Kept): Uint8Array<ArrayBuffer> {
  const inFile = work.meshes.get(source);
  const { shift, sizeMm } = ontoGround(inFile);
  const shape = kept(sha256OfText(`figure of source 6 ${source}`), () => asReadShape(transformMesh(shift, inFile)));
  return encodeFigure({
    parts: [],
    sizeMm,
    asRead: { ...shape, marks: [] },
    toFile: [...invertTransform(shift)],
    scale: null,
    outside: null,
  });
}

function ontoGround(mesh: Mesh): { readonly shift: Transform; readonly sizeMm: Vec3 } {
  const box = bounds(mesh);
  const [x, y] = middleOf(box);
  return { shift: [1, 0, 0, 0, 1, 0, 0, 0, 1, -x, -y, -box.minMm[2]], sizeMm: sizeOf(box) };
}

function asReadShape(mesh: Mesh): Omit<FigureAsRead, 'marks'> {
  const shown = thinForDisplay(mesh, { triangles: AS_READ_TRIANGLES });
  return { ...thinnedShapes(shown), openEdges: openEdgeLines(mesh, { most: MOST_OPEN_EDGES }) };
}

/** Both levels of a surface that may be open. The coarse one has no creases: so few clusters make them up. */
function thinnedShapes(shown: Mesh): FigureShape & Pick<FigureAsRead, 'coarse'> {
  const thin = thinForDisplay(shown, { triangles: AS_READ_COARSE_TRIANGLES });
  return { ...shapeOf(shown), coarse: thin === shown ? null : { ...shapeOf(thin), creases: new Float32Array() } };
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
function shareOfRoots(pieces: readonly Piece[]): number {
  const total = pieces.reduce((sum, piece) => sum + piece.triangles, 0);
  const roots = pieces.reduce((sum, piece) => sum + Math.sqrt(piece.triangles / total), 0);
  return 1 / roots;
}

/** `share`: of the triangles of the whole figure, those of this part. */
function displayed(
  id: MeshId,
  { triangles, share, kept }: FigureOptions & { readonly share: number },
  work: ChapterWork,
): FigureShape & Pick<FigurePart, 'coarse'> {
  const most = Math.round(triangles * share);
  const few = triangles < PAGE_FIGURE_TRIANGLES ? null : Math.round(COARSE_TRIANGLES * share);
  return kept(sha256OfText(`figure part 5 ${id} ${most} ${few}`), () => {
    const mesh = work.meshes.get(id);
    const shown = numTris(mesh) <= most ? mesh : simplifyClosed(mesh, { triangles: most }, work);
    const isFew = few === null || numTris(shown) * 2 <= few * 3;
    return { ...shapeOf(shown), coarse: isFew ? null : shapeOf(simplifyClosed(shown, { triangles: few }, work)) };
  });
}

function exposureOf(
  [hidden, coarseHidden = new Uint8Array()]: readonly Uint8Array[],
  looks: Pick<FigureExposure, 'seamPrice' | 'seamLook'>,
): FigureExposure {
  return { hidden: hidden!, coarseHidden, ...looks };
}
