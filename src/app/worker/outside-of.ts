// The outside of the shell with what a seam costs on it: what the page needs to tell the cost of a seam while it moves.
import { canonicalJson } from '../../base/canonical-json.ts';
import { sha256OfText } from '../../base/sha256.ts';
import { partOfWork } from '../../base/work.ts';
import { simplifyClosed } from '../../geometry/simplify.ts';
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoint } from '../../mesh/closest-point.ts';
import { type Mesh, numTris, type Vec3 } from '../../mesh/mesh.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import { recordPrice } from '../../workshop/pieces/pieces.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { FigureOutside } from '../api/figure-codec.ts';
import type { Kept } from './kept.ts';

/** A line across so many is within a percent of the shell's own, and drawn in a millisecond. */
const OUTSIDE_TRIANGLES = 30_000;

/** Null until the shell has been divided: then there is nothing to move. A share of a second for 200 thousand triangles, once a shell. */
export function outsideOf(
  results: BookResults,
  hidden: number,
  of: { work: ChapterWork; kept: Kept },
): FigureOutside | null {
  const { wearer, pieces } = results;
  if (wearer.state !== 'computed' || pieces.state !== 'computed' || pieces.record.seams.length === 0) return null;
  const { record } = pieces;
  const { mesh: id } = wearer.record;
  const key = sha256OfText(`figure outside 1 ${id} ${canonicalJson([hidden])} ${sha256OfText(record.seen.join())}`);
  return of.kept(key, () => {
    const shell = of.work.meshes.get(id);
    const price = recordPrice(shell, record, hidden, partOfWork(of.work, 0, 0.4));
    return outsideTriangles(shell, price, partOfWork(of.work, 0.4, 1));
  });
}

/** The shell thinned, each triangle with the price of the place nearest to its middle, and without those that have none. */
function outsideTriangles(shell: Mesh, price: Float32Array, work: ChapterWork): FigureOutside {
  const thin = simplifyClosed(shell, { triangles: OUTSIDE_TRIANGLES }, work);
  const tree = buildBoundingTree(shell);
  const { positions: p, triangles: t } = thin;
  const triangles: number[] = [];
  const prices: number[] = [];
  const newVert = new Int32Array(p.length / 3).fill(-1);
  const positions: number[] = [];
  const vert = (v: number): number => {
    if (newVert[v]! < 0) {
      newVert[v] = positions.length / 3;
      positions.push(p[v * 3]!, p[v * 3 + 1]!, p[v * 3 + 2]!);
    }
    return newVert[v]!;
  };
  for (let tri = 0; tri < numTris(thin); tri++) {
    if ((tri & 0xfff) === 0) work.tick(tri / numTris(thin), 'pricing the outside');
    const [a, b, c] = [t[tri * 3]!, t[tri * 3 + 1]!, t[tri * 3 + 2]!];
    const middle = [0, 1, 2].map((k) => (p[a * 3 + k]! + p[b * 3 + k]! + p[c * 3 + k]!) / 3) as unknown as Vec3;
    const found = closestPoint(tree, middle);
    const here = found === null ? 0 : price[found.tri]!;
    if (here === 0) continue;
    triangles.push(vert(a), vert(b), vert(c));
    prices.push(here);
  }
  return {
    positions: Float32Array.from(positions),
    triangles: Uint32Array.from(triangles),
    price: Float32Array.from(prices),
  };
}
