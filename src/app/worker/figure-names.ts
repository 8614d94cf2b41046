// The names that stand at places of the figure: seams with what hides them, and areas kept clear with their outlines on the surface.
import { scaled } from '../../geometry/three-by-three.ts';
import { type BoundingTree, buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoint } from '../../mesh/closest-point.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import { hiddenMostly } from '../../workshop/book/seam-words.ts';
import type { ClearArea } from '../../workshop/process/asked-seams.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { Piece, Seam } from '../../workshop/process/pieces-record.ts';
import type { FigureName } from '../api/figure-codec.ts';

/** More names than this would hide the figure: the longest seams have theirs. */
const MOST_SEAMS = 12;
/** From point to point along an outline, mm. */
const STEP_MM = 3;

/** Space: worn. Cost: O(lines of the seams); where areas are kept clear also a tree over the shell, O(n log n). */
export function figureNames(results: BookResults, clear: readonly ClearArea[], work: ChapterWork): FigureName[] {
  const { wearer, pieces } = results;
  if (wearer.state !== 'computed' || pieces.state !== 'computed') return [];
  const { seams } = pieces.record;
  const longest = [...seams].sort((a, b) => b.outerMm - a.outerMm).slice(0, MOST_SEAMS);
  const names = longest.flatMap((seam) => nameOfSeam(seam) ?? []);
  if (clear.length === 0) return names;
  const tree = buildBoundingTree(work.meshes.get(wearer.record.mesh));
  return [
    ...names,
    ...clear.flatMap((area) => nameOfArea(area, { tree, scale: wearer.record.scale, pieces: pieces.record.pieces })),
  ];
}

function nameOfSeam(seam: Seam): FigureName | null {
  const [first] = seam.lines;
  if (first === undefined) return null;
  const { points } = seam.lines.reduce((most, line) => (line.points.length > most.points.length ? line : most), first);
  const at = Math.floor(points.length / 6) * 3;
  const atMm = [points[at]!, points[at + 1]!, points[at + 2]!] as const;
  return { of: 'seam', name: seam.id, says: hiddenMostly(seam), atMm, piece: seam.pieces[0], outline: [] };
}

function nameOfArea(
  { name, outline }: ClearArea,
  on: { readonly tree: BoundingTree; readonly scale: number; readonly pieces: readonly Piece[] },
): FigureName[] {
  const corners = outline.map(({ atMm }) => scaled(atMm, on.scale));
  const steps: Vec3[] = [];
  const tris: number[] = [];
  corners.forEach((from, i) => {
    const to = corners[(i + 1) % corners.length]!;
    const count = Math.max(1, Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]) / STEP_MM));
    for (let k = 0; k < count; k++) {
      const share = k / count;
      const found = closestPoint(on.tree, [
        from[0] + share * (to[0] - from[0]),
        from[1] + share * (to[1] - from[1]),
        from[2] + share * (to[2] - from[2]),
      ]);
      if (found === null) continue;
      steps.push(found.atMm);
      tris.push(found.tri);
    }
  });
  // no seam crosses it, so that it lies on one piece
  const piece = on.pieces.find(({ sourceTri }) => sourceTri.includes(tris[0]!));
  if (piece === undefined) return [];
  const segments = steps
    .flatMap((from, i) => [...from, ...steps[(i + 1) % steps.length]!])
    .map((mm) => Math.round(mm * 100) / 100);
  return [{ of: 'area', name, says: 'kept clear', atMm: steps[0]!, piece: piece.id, outline: segments }];
}
