// What can be marked on a piece of the figure while the surface is read: rings, filling, reach, and walls that warmth could soften.
import { canonicalJson } from '../../base/canonical-json.ts';
import { sha256Hex, sha256OfText } from '../../base/sha256.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { Piece } from '../../workshop/process/pieces-record.ts';
import type { Print } from '../../workshop/process/printing-record.ts';
import type { FigurePart } from '../api/figure-codec.ts';
import { fillingLines, ringLines } from './draw-surface.ts';
import type { Kept } from './kept.ts';
import { reachLines, softMarks, warmLines } from './reach-lines.ts';
import { seamStrokes } from './seam-strokes.ts';

/** Lines of hatching along the longest side of a piece. */
const HATCHES = 45;

type PieceMaps = Pick<FigurePart, 'rings' | 'filling' | 'reach' | 'warm'>;

/** Gives the maps of a piece as segments (xyz xyz, worn): those known without its print or without the surface alone. Each is made once
 *  for its mesh and its pose, or its mesh and the reach. Cost: that of hatching its mesh six times. */
export function pieceMaps(
  results: BookResults,
  kept: Kept,
  work: ChapterWork,
): (piece: Piece, print: Print | undefined) => PieceMaps {
  const { pieces, printing, surface } = results;
  if (pieces.state !== 'computed' || printing.state !== 'computed') return () => ({});
  const { overhangLimitDeg } = printing.record;
  const outside = { seen: pieces.record.seen, overhangLimitDeg };
  const byPose = (piece: Piece, { toModel }: Print): PieceMaps => {
    const depends = [pieces.fingerprint, piece.mesh, [...toModel], overhangLimitDeg];
    return kept(sha256OfText(`figure rings 2 ${canonicalJson(depends)}`), () => ({
      rings: segmentsOf(ringLines({ piece, toModel }, outside, work)),
      filling: segmentsOf(fillingLines({ piece, toModel }, outside, HATCHES, work)),
    }));
  };
  if (surface.state !== 'computed') return (piece, print) => (print === undefined ? {} : byPose(piece, print));
  const { perTri } = surface.record.reach;
  const soft = softMarks(surface.record.reach);
  const reachKey = `${sha256Hex(perTri)} ${sha256Hex(soft)}`;
  const byReach = ({ mesh: id, sourceTri }: Piece): PieceMaps =>
    kept(sha256OfText(`figure reach 1 ${pieces.fingerprint} ${id} ${reachKey}`), () => {
      const mesh = work.meshes.get(id);
      const { outlines, crossed } = warmLines(mesh, ofPiece(sourceTri, soft));
      return {
        reach: segmentsOf(reachLines(mesh, ofPiece(sourceTri, perTri))),
        warm: segmentsOf([...outlines, ...crossed]),
      };
    });
  return (piece, print) => {
    const { filling = new Float32Array(), ...rings } = print === undefined ? {} : byPose(piece, print);
    const tracks = surface.record.pieces.find((one) => one.piece === piece.id)?.starts.lines ?? [];
    return { ...rings, filling: Float32Array.from([...filling, ...segmentsOf(tracks)]), ...byReach(piece) };
  };
}

/** What the shell has at its triangles, at those of a piece of it; 0 on mating faces. */
function ofPiece(sourceTri: Int32Array, perTri: Uint8Array): Uint8Array {
  return Uint8Array.from(sourceTri, (source) => (source < 0 ? 0 : perTri[source]!));
}

function segmentsOf(lines: readonly Float32Array[]): Float32Array {
  return Float32Array.from(
    lines.flatMap((points) =>
      seamStrokes({ points, price: new Float32Array(points.length / 3 - 1) }).flatMap(({ ends }) => ends),
    ),
  );
}
