// A closed surface that crosses itself becomes the boundary of the body it means: overlapping lobes united, folds cut off.
import { partOfWork, type Work } from '../../../base/work.ts';
import { edgeRings } from '../../../mesh/edge-rings.ts';
import { bounds, sizeOf } from '../../../mesh/measure.ts';
import { type Mesh, numTris } from '../../../mesh/mesh.ts';
import { surfaceCheck } from '../../../mesh/topology.ts';
import { type SelfCrossings, selfCrossings } from '../../crossings/self-crossings.ts';
import type { MendStep } from '../mend-step.ts';
import { pairEdges } from '../pair-edges.ts';
import { partSides } from '../part-sides.ts';
import { type CutSurface, cutAlong } from './uncross-cut.ts';
import { outsideOf } from './uncross-outside.ts';
import { crossingLines, linePairs } from './uncross-points.ts';
import { type Shifting, shifted } from './uncross-shift.ts';
import { withoutSlivers } from './uncross-slivers.ts';

export interface UncrossOptions {
  /** Cutting again what rounding left, at most so often. */
  readonly rounds?: number;
  /** How far touching parts are moved, as a share of the diagonal of the mesh. */
  readonly shiftShare?: number;
}

export const UNCROSS_DEFAULTS = { rounds: 4, shiftShare: 1e-6 } as const;

export interface Uncrossed {
  /** The input itself when nothing crossed or nothing could be improved. */
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
  readonly pairsBefore: number;
  readonly pairsLeft: number;
}

/** Unites all parts of a closed surface that overlap, within one shell as well as between shells, and cuts off what is folded inside
 *  out: the result bounds what the surface winds round at least once. It lies on the input surface, apart from a shift of
 *  `shiftShare` where parts touched or lay in one plane. Accepted only if closed and with fewer crossings; otherwise the input
 *  comes back. Whole shells within others go too; cavities stay. Input: closed, consistently oriented, outward, welded.
 *  Space: that of the mesh. Cost: O(n log n), some 10 s per million triangles.
 *  Method: arrangement of the crossing triangles, patches kept by their winding number; docs/methods/uncross.md.
 *  Weak: beyond `MOST_SPENT` (parts that lie on each other over whole areas) the input comes back; what remains after rounding is counted in `pairsLeft`. */
export function uncross(mesh: Mesh, work: Work, options: UncrossOptions = {}): Uncrossed {
  const { rounds, shiftShare } = { ...UNCROSS_DEFAULTS, ...options };
  const before = selfCrossings(mesh, partOfWork(work, 0, 0.2), { listLimit: LIST_LIMIT });
  const shiftMm = shiftShare * Math.hypot(...sizeOf(bounds(mesh)));
  let best: Mesh = mesh;
  let crossings: SelfCrossings = before;
  let movedMm = 0;
  const budget = { left: MOST_SPENT + numTris(mesh) };
  for (let round = 0; round < rounds && crossings.pairs > 0 && crossings.listed === crossings.pairs; round++) {
    const part = partOfWork(work, 0.2 + (0.8 * round) / rounds, 0.2 + (0.8 * (round + 1)) / rounds);
    const cutting = { byMm: shiftMm * 1.5 ** round, seed: work.seed + 101 * round, budget };
    const cut = cutRound(best, crossings, cutting, part);
    if (budget.left < 0) break;
    // what did not close is tried once more from where it began, moved otherwise
    if (cut === null || !isBalanced(cut.outside)) continue;
    const now = selfCrossings(cut.outside, partOfWork(part, 0.7, 1), { listLimit: LIST_LIMIT });
    if (now.pairs >= crossings.pairs) continue;
    best = cut.outside;
    crossings = now;
    movedMm += cut.movedMm;
  }
  best = withoutSlivers(apart(best), 2 * movedMm);
  const left = crossings.pairs;
  if (best === mesh || !surfaceCheck(best).closed)
    return { mesh, steps: [], pairsBefore: before.pairs, pairsLeft: before.pairs };
  const step: MendStep = {
    kind: 'crossings-patched',
    count: before.pairs - left,
    largestMm: movedMm,
    atMm: before.firstAtMm,
  };
  return { mesh: best, steps: [step], pairsBefore: before.pairs, pairsLeft: left };
}

const LIST_LIMIT = 400_000;
const MOST_SHIFTS = 10;

interface Cutting extends Shifting {
  readonly budget: Budget;
}

interface Round {
  readonly outside: Mesh;
  readonly movedMm: number;
}

/** One pass: shift until all pairs cross in general position, cut, keep the outside. Null when nothing is left. */
function cutRound(mesh: Mesh, crossings: SelfCrossings, { budget, ...shifting }: Cutting, work: Work): Round | null {
  const { shellOfTri } = surfaceCheck(mesh);
  let { pairList } = crossings;
  let moved = mesh;
  let cut = cutOnce(moved, pairList, budget, partOfWork(work, 0, 0.05));
  for (let turn = 0; turn < MOST_SHIFTS && cut !== null && cut.special.length + cut.undrawn.length > 0; turn++) {
    const part = partOfWork(work, 0.05 + (0.35 * turn) / MOST_SHIFTS, 0.05 + (0.35 * (turn + 1)) / MOST_SHIFTS);
    const touching = new Set(cut.undrawn);
    for (const k of cut.special) touching.add(pairList[2 * k]!).add(pairList[2 * k + 1]!);
    // the few that are in each other's way after the first turn move on by themselves, all others stay as they are
    moved = shifted(moved, touching, shellOfTri, { ...shifting, seed: shifting.seed + turn });
    pairList = selfCrossings(moved, partOfWork(part, 0, 0.5), { listLimit: LIST_LIMIT }).pairList;
    cut = cutOnce(moved, pairList, budget, partOfWork(part, 0.5, 1));
  }
  if (cut === null) return null;
  const { mesh: outside } = outsideOf(cut.mesh, moved, cut.sourceTri, partOfWork(work, 0.4, 0.7));
  return outside.triangles.length > 0 ? { outside, movedMm: largestMove(mesh, moved) } : null;
}

interface Cut extends CutSurface {
  readonly special: readonly number[];
}

/** Null when drawing the lines would take more than is left to spend. */
function cutOnce(mesh: Mesh, pairList: Int32Array, budget: Budget, work: Work): Cut | null {
  budget.left -= pairList.length / 2 + linePairs(pairList, numTris(mesh)) / 100;
  if (budget.left < 0) return null;
  const lines = crossingLines(mesh, pairList, partOfWork(work, 0, 0.4));
  budget.left -= lines.effort / 250;
  if (budget.left < 0) return null;
  return { ...cutAlong(mesh, lines, partOfWork(work, 0.4, 1)), special: lines.special };
}

/** What may still be spent on cutting, in pairs of triangles: some 25 microseconds each. */
interface Budget {
  left: number;
}

/** A drive of a hundred parts that lie on each other takes 100,000; ten times that would take half a minute. */
const MOST_SPENT = 600_000;

function largestMove(mesh: Mesh, moved: Mesh): number {
  const [p, q] = [mesh.positions, moved.positions];
  let most = 0;
  if (p !== q)
    for (let v = 0; v < p.length; v += 3)
      most = Math.max(most, Math.hypot(q[v]! - p[v]!, q[v + 1]! - p[v + 1]!, q[v + 2]! - p[v + 2]!));
  return most;
}

/** Every edge has as many faces one way as the other: closed, if some edges have four. */
function isBalanced(mesh: Mesh): boolean {
  const ring = edgeRings(mesh);
  for (let h = 0; h < ring.length; h++) {
    let way = 1;
    for (let g = ring[h]!; g !== h; g = ring[g]!) way += mesh.triangles[g] === mesh.triangles[h] ? 1 : -1;
    if (way !== 0) return false;
  }
  return ring.length > 0;
}

/** Faces that meet four at an edge, two and two. */
function apart(mesh: Mesh): Mesh {
  const pairs = pairEdges(mesh, edgeRings(mesh));
  return pairs.crowded === 0 ? mesh : partSides(mesh, pairs, 'part').mesh;
}
