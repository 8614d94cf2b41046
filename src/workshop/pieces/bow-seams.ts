// Lets the seams of a finished flat division leave their planes where that hides them better, and carries it out again.
import { done, type Outcome } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import type { Plane } from '../../geometry/plane.ts';
import { type MeshPart, type PlaneSplit, splitByPlane } from '../../geometry/plane-split.ts';
import { splitComponents } from '../../geometry/split-components.ts';
import { NONE } from '../../mesh/mesh.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { FittingPose } from '../process/pieces-record.ts';
import type { DivideSettings } from './asked-at-size.ts';
import { type Bow, dampedBow, evenedBow, mirroredBow } from './bow.ts';
import type { BowReach } from './bow-chart.ts';
import { bestBow, bowedSplit, type CostedBow, costedBow, isWorthBowing, type PricedShell } from './bow-cut.ts';
import { posesOf } from './carry-out.ts';
import { CRUMB_SHARE, mirroredPlane } from './cut-costs.ts';
import type { CutPart, MadeCut, PathStep } from './exact-division.ts';
import { volumeOf, widthOf } from './piece-measures.ts';

/** A division as it was carried out. */
export interface FinishedDivision {
  readonly parts: readonly CutPart[];
  readonly cuts: readonly MadeCut[];
  /** Per part, best first. */
  readonly poses: readonly (readonly FittingPose[])[];
}

export interface BowOptions {
  readonly shell: PricedShell;
  /** Where the shell is mirrored. */
  readonly mirrorX: number | null;
  readonly settings: DivideSettings;
  readonly work: ChapterWork;
}

/** How often a division is carried out again with the bows that spoiled a piece held back; then it stays flat. */
const MOST_ROUNDS = 5;

/** The same division with every seam bowed by up to `mostBowMm` that is cheaper so, by a fair share; the flat one where none is, or
 *  where bowed pieces would not fit, not hold together or not come apart. Cuts keep their planes and order, pieces their paths. Images of
 *  one another on a mirrored shell are bowed as images; in its middle a seam may go to either side.
 *  Cost: each cut again, about three times as long as a flat one. docs/methods/bowed-seams.md. */
export function bowSeams(whole: MeshPart, flat: FinishedDivision, options: BowOptions): Outcome<FinishedDivision> {
  const { mostBowMm, demands } = options.settings;
  if (mostBowMm === 0 || flat.cuts.length === 0) return done(flat);
  const reach = reachOfCuts(flat.cuts, demands.seams, mostBowMm);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const work = partOfWork(options.work, round / MOST_ROUNDS, (round + 1) / MOST_ROUNDS);
    const made = carriedOutAgain(whole, flat, reach, { ...options, work });
    if (!made.ok) return made;
    if (made.value === null || made.value.bows.size === 0) return done(flat);
    const { parts, bows } = made.value;
    const judged = posesAgain(flat, parts, bows, { ...options, work });
    if (judged.spoiled.length === 0) return done({ parts, cuts: flat.cuts, poses: judged.poses });
    for (const steps of judged.spoiled)
      holdBack(leastGaining(steps, made.value.gains), reach, flat.cuts, options.mirrorX);
  }
  return done(flat);
}

/** How far each cut may bow; those that may not at all are missing. Seams that were asked for stay where they were asked for. */
function reachOfCuts(
  cuts: readonly MadeCut[],
  held: readonly { readonly plane: Plane }[],
  mostMm: number,
): Map<number, BowReach> {
  const out = new Map<number, BowReach>();
  cuts.forEach(({ asked }, cut) => {
    if (!held.some(({ plane }) => isSamePlane(plane, asked))) out.set(cut, { upMm: mostMm, downMm: mostMm });
  });
  return out;
}

/** A piece that no longer fits may not grow any more over this cut, nor its image; one that was spoiled all the same keeps it flat. */
function holdBack(
  { cut, side }: PathStep,
  reach: Map<number, BowReach>,
  cuts: readonly MadeCut[],
  mirrorX: number | null,
): void {
  const images = twinsOf(cut, cuts, mirrorX).map((other): PathStep => {
    const [x, y, z] = cuts[cut]!.plane.normal;
    const n = cuts[other]!.plane.normal;
    const isTurned = -x * n[0] + y * n[1] + z * n[2] < 0;
    return { cut: other, side: isTurned === (side === 1) ? 0 : 1 };
  });
  for (const one of [{ cut, side }, ...images]) {
    const { upMm, downMm } = reach.get(one.cut) ?? { upMm: 0, downMm: 0 };
    // the part below a cut grows where the cut goes up
    const left = one.side === 0 ? { upMm: 0, downMm } : { upMm, downMm: 0 };
    if (left.upMm + left.downMm === 0 || upMm * downMm === 0) reach.delete(one.cut);
    else reach.set(one.cut, left);
  }
}

/** Of the bows that made a spoiled piece the one that would be missed least. */
function leastGaining(steps: readonly PathStep[], gains: ReadonlyMap<number, number>): PathStep {
  return steps.reduce((least, step) => (gains.get(step.cut)! < gains.get(least.cut)! ? step : least));
}

interface Carried {
  /** Per bowed cut, mm. */
  readonly gains: ReadonlyMap<number, number>;
  readonly parts: readonly CutPart[];
  readonly bows: ReadonlyMap<number, Bow>;
}

/** A part still to be cut: which parts of the flat division it will be. */
interface OpenNode {
  readonly part: MeshPart;
  readonly leaves: readonly number[];
  readonly depth: number;
}

interface Carrying extends BowOptions {
  readonly flat: FinishedDivision;
  readonly reach: ReadonlyMap<number, BowReach>;
  readonly bows: Map<number, Bow>;
  readonly gains: Map<number, number>;
  /** Cuts whose image was made flat. */
  readonly stayed: Set<number>;
  /** Per triangle of the shell, a part of the flat division that has some of it. */
  readonly leafOf: Int32Array;
}

/** Cuts along the tree that the paths of the parts spell, bowed where it pays. Null when even flat cuts would not give the same parts. */
function carriedOutAgain(
  whole: MeshPart,
  flat: FinishedDivision,
  reach: ReadonlyMap<number, BowReach>,
  options: BowOptions,
): Outcome<Carried | null> {
  const leafOf = leavesByTriangle(whole, flat.parts);
  const about: Carrying = { ...options, flat, reach, bows: new Map(), gains: new Map(), stayed: new Set(), leafOf };
  const parts = new Array<CutPart>(flat.parts.length);
  const open: OpenNode[] = [{ part: whole, leaves: [...flat.parts.keys()], depth: 0 }];
  let made = 0;
  while (open.length > 0) {
    const node = open.pop()!;
    const path = flat.parts[node.leaves[0]!]!.path;
    if (node.depth === path.length) {
      if (node.leaves.length !== 1) return done(null);
      parts[node.leaves[0]!] = { part: node.part, path };
      continue;
    }
    options.work.tick(made++ / flat.cuts.length, 'bowing seams');
    const next = cutNode(node, path[node.depth]!.cut, about);
    if (!next.ok) return next;
    if (next.value === null) return done(null);
    open.push(...next.value);
  }
  return done({ parts, bows: about.bows, gains: about.gains });
}

/** The parts a node falls into; bowed if that pays and gives the same parts as the flat cut, else flat. */
function cutNode(node: OpenNode, cut: number, about: Carrying): Outcome<OpenNode[] | null> {
  const { plane } = about.flat.cuts[cut]!;
  const reach = about.reach.get(cut);
  if (reach !== undefined) {
    for (const costed of bowsToTry(node.part, cut, reach, about)) {
      const bowed = dampedSplit(node, costed, cut, about);
      if (!bowed.ok) return bowed;
      if (bowed.value === null) continue;
      about.bows.set(cut, bowed.value.bow);
      about.gains.set(cut, bowed.value.gainMm);
      return done(bowed.value.nodes);
    }
  }
  about.stayed.add(cut);
  const split = splitByPlane(node.part.mesh, plane, {
    triangulate: about.work.solid.triangulate,
    sourceTri: node.part.sourceTri,
    capSourceOf: () => -1 - cut,
  });
  if (!split.ok) return split;
  const found = nodesOf(split.value, node, cut, about);
  return done(found === null || found.crumbs.length > 0 ? null : found.nodes);
}

/** Cuts along a bow that, where its face could not be made or it cut off a crumb, goes back into the plane; null when what is left of it is not worth it, or
 *  still cannot be made. */
function dampedSplit(
  node: OpenNode,
  costed: CostedBow,
  cut: number,
  about: Carrying,
): Outcome<{ readonly nodes: OpenNode[]; readonly bow: Bow; readonly gainMm: number } | null> {
  const { mirrorX, shell } = about;
  let now = costed;
  for (let turn = 0; turn < MOST_DAMPINGS && isWorthBowing(now); turn++) {
    const { bow } = now;
    const made = bowedSplit(node.part, bow, -1 - cut, about.work);
    if (!made.ok || made.value === null) return made.ok ? done(null) : made;
    const found = nodesOf(made.value.split, node, cut, about);
    if (found === null) return done(null);
    const trouble = [...made.value.trouble, ...found.crumbs];
    if (trouble.length === 0) return done({ nodes: found.nodes, bow, gainMm: now.flatMm - now.costMm });
    const isEven =
      mirrorX !== null && !isMiddle(bow.plane) && isSamePlane(mirroredPlane(bow.plane, mirrorX), bow.plane);
    const images = isEven ? trouble.map((value, i) => (i % 3 === 0 ? 2 * mirrorX - value : value)) : [];
    now = costedBow(node.part, dampedBow(bow, [...trouble, ...images], DAMPED_MM * WIDER ** turn), shell);
  }
  return done(null);
}

const MOST_DAMPINGS = 6;
/** About a place that made trouble; so many times farther each time. */
const DAMPED_MM = 3;
const WIDER = 1.5;

/** A bow whose cut's image is made already has to be the image of that; on a plane that is its own image, its own. */
function bowsToTry(part: MeshPart, cut: number, reach: BowReach, about: Carrying): CostedBow[] {
  const { mirrorX, shell } = about;
  const { plane } = about.flat.cuts[cut]!;
  const costed = (bow: Bow): CostedBow => costedBow(part, bow, shell);
  if (mirrorX !== null) {
    const twin = twinsOf(cut, about.flat.cuts, mirrorX).find(
      (other) => about.bows.has(other) || about.stayed.has(other),
    );
    const made = twin === undefined ? undefined : about.bows.get(twin);
    if (twin !== undefined) return made === undefined ? [] : [costed(mirroredBow(made, mirrorX, plane))];
  }
  const free = bestBow(part, plane, shell, reach);
  if (free === null) return [];
  if (mirrorX === null || isMiddle(plane) || !isSamePlane(mirroredPlane(plane, mirrorX), plane)) return [free];
  const halves = [costed(evenedBow(free.bow, mirrorX, 1)), costed(evenedBow(free.bow, mirrorX, -1))];
  return halves.sort((one, other) => one.costMm - other.costMm);
}

/** Square to x: the middle of the pattern. What leaves it leaves the pattern by a few mm only. */
function isMiddle({ normal }: Plane): boolean {
  return Math.abs(normal[0]) > 0.999;
}

/** The other cuts whose plane is the mirror image of this one's. */
function twinsOf(cut: number, cuts: readonly MadeCut[], mirrorX: number | null): number[] {
  if (mirrorX === null) return [];
  const image = mirroredPlane(cuts[cut]!.plane, mirrorX);
  return cuts.flatMap(({ plane }, other) => (other !== cut && isSamePlane(plane, image) ? [other] : []));
}

/** Either side up, within what planes are moved to keep away from vertices. */
function isSamePlane(a: Plane, b: Plane): boolean {
  const cos = a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2];
  return Math.abs(cos) > 1 - 1e-9 && Math.abs(a.offsetMm - Math.sign(cos) * b.offsetMm) < 0.2;
}

interface FoundNodes {
  readonly nodes: OpenNode[];
  /** Corners of the cut faces of parts that are no leaf's, xyz interleaved: a bow that cuts off what the plane does not. */
  readonly crumbs: number[];
}

/** Connected parts of both sides, each with the leaves it will be; null when a leaf finds no part. */
function nodesOf(split: PlaneSplit, node: OpenNode, cut: number, about: Carrying): FoundNodes | null {
  const nodes: OpenNode[] = [];
  const crumbs: number[] = [];
  for (const side of [0, 1] as const) {
    const leaves = node.leaves.filter((leaf) => about.flat.parts[leaf]!.path[node.depth]!.side === side);
    const half = side === 0 ? split.below : split.above;
    const components = half.sourceTri.length === 0 ? [] : splitComponents(half);
    const shared = leavesOf(components, leaves, about.leafOf);
    if (shared === null || leaves.some((leaf) => about.flat.parts[leaf]!.path[node.depth]!.cut !== cut)) return null;
    components.forEach((part, i) => {
      if (shared[i]!.length > 0) nodes.push({ part, leaves: shared[i]!, depth: node.depth + 1 });
      else crumbs.push(...faceCorners(part, -1 - cut));
    });
  }
  return { nodes, crumbs };
}

/** One corner of every triangle of a cut face. */
function faceCorners({ mesh, sourceTri }: MeshPart, mark: number): number[] {
  const out: number[] = [];
  sourceTri.forEach((source, tri) => {
    if (source !== mark) return;
    const at = mesh.triangles[tri * 3]! * 3;
    out.push(mesh.positions[at]!, mesh.positions[at + 1]!, mesh.positions[at + 2]!);
  });
  return out;
}

/** Each leaf goes to the component that has most of its triangles; null when one has none anywhere. */
function leavesOf(
  components: readonly MeshPart[],
  leaves: readonly number[],
  leafOf: Int32Array,
): (readonly number[])[] | null {
  const place = new Map(leaves.map((leaf, i) => [leaf, i]));
  const votes = components.map(({ sourceTri }) => {
    const count = new Uint32Array(leaves.length);
    for (const source of sourceTri) {
      const leaf = source > NONE ? place.get(leafOf[source]!) : undefined;
      if (leaf !== undefined) count[leaf]!++;
    }
    return count;
  });
  const out = components.map((): number[] => []);
  for (const [i, leaf] of leaves.entries()) {
    let most = 0;
    let best = NONE;
    votes.forEach((count, c) => {
      if (count[i]! <= most) return;
      most = count[i]!;
      best = c;
    });
    if (best === NONE) return null;
    out[best]!.push(leaf);
  }
  return out;
}

function leavesByTriangle(whole: MeshPart, parts: readonly CutPart[]): Int32Array {
  let most = 0;
  for (const source of whole.sourceTri) if (source > most) most = source;
  const leafOf = new Int32Array(most + 1).fill(NONE);
  parts.forEach(({ part }, leaf) => {
    for (const source of part.sourceTri) if (source > NONE) leafOf[source] = leaf;
  });
  return leafOf;
}

/** Poses of the parts again, and for each that was spoiled the bowed cuts it was made by: it fits no bed, became a crumb, or narrower than
 *  allowed. */
function posesAgain(
  flat: FinishedDivision,
  parts: readonly CutPart[],
  bows: ReadonlyMap<number, Bow>,
  { settings, work }: BowOptions,
): { readonly poses: (readonly FittingPose[])[]; readonly spoiled: (readonly PathStep[])[] } {
  const spoiled: (readonly PathStep[])[] = [];
  const volumes = parts.map(({ part }) => volumeOf(part.mesh));
  const least = (CRUMB_SHARE * volumes.reduce((sum, v) => sum + v, 0)) / volumes.length;
  const poses = parts.map((one, i) => {
    const bowed = one.path.filter(({ cut }) => bows.has(cut));
    if (bowed.length === 0) return flat.poses[i]!;
    const before = flat.parts[i]!.part.mesh;
    const { mesh } = one.part;
    const isCrumb = volumes[i]! < Math.min(least, KEPT_SHARE * volumeOf(before));
    const isNarrow = widthOf(mesh) < Math.min(settings.leastSectionMm, KEPT_SHARE * widthOf(before));
    const list = isCrumb || isNarrow ? [] : posesOf(one, flat.cuts, { settings, work });
    if (list.length === 0) spoiled.push(bowed);
    return list;
  });
  return { poses, spoiled };
}

/** A piece that was small or narrow already may not lose more than the rest of this. */
const KEPT_SHARE = 0.9;
