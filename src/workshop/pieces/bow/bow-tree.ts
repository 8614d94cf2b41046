// Cuts a whole again along the tree of a flat division, each cut bowed where that pays and can be made.
import { done, type Outcome } from '../../../base/findings.ts';
import { isNearlySamePlane } from '../../../geometry/plane.ts';
import { type MeshPart, type PlaneSplit, splitByPlane } from '../../../geometry/plane-split.ts';
import { splitComponents } from '../../../geometry/split-components.ts';
import { NONE } from '../../../mesh/mesh.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import type { FittingPose } from '../../process/pieces-record.ts';
import type { DivideSettings } from '../asked/asked-at-size.ts';
import type { CutPart, MadeCut } from '../cut/exact-division.ts';
import { mirroredPlane } from '../search/cut-costs.ts';
import { type Bow, dampedBow, evenedBow, mirroredBow } from './bow.ts';
import type { BowReach } from './bow-chart.ts';
import { bestBow, bowedSplit, type CostedBow, costedBow, isWorthBowing, type PricedShell } from './bow-cut.ts';
import { isMiddle, twinsOf } from './bow-reach.ts';

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

/** Cuts made in the last round, by what led to them: the same cut of the same part is not made twice. */
export type KnownCuts = ReadonlyMap<string, KnownCut>;

interface KnownCut {
  readonly nodes: OpenNode[];
  readonly bow: Bow | null;
  readonly gainMm: number;
}

export interface Carried {
  readonly known: KnownCuts;
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
  /** How it came to be: the cuts before it, and how far each could bow. */
  readonly key: string;
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
  readonly known: KnownCuts;
  readonly round: number;
  readonly nowKnown: Map<string, KnownCut>;
}

export interface CarryAgain {
  readonly reach: ReadonlyMap<number, BowReach>;
  /** Of the round before. */
  readonly known: KnownCuts;
  readonly round: number;
}

/** Cuts along the tree that the paths of the parts spell, bowed where it pays. Null when even flat cuts would not give the same parts. */
export function carriedOutAgain(
  whole: MeshPart,
  flat: FinishedDivision,
  { reach, known, round }: CarryAgain,
  options: BowOptions,
): Outcome<Carried | null> {
  const leafOf = leavesByTriangle(whole, flat.parts);
  const fresh = { bows: new Map(), gains: new Map(), stayed: new Set<number>(), nowKnown: new Map() };
  const about: Carrying = { ...options, ...fresh, flat, reach, leafOf, known, round };
  const parts = new Array<CutPart>(flat.parts.length);
  const open: OpenNode[] = [{ part: whole, leaves: [...flat.parts.keys()], depth: 0, key: '' }];
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
    const next = cutOnce(node, path[node.depth]!.cut, about);
    if (!next.ok) return next;
    if (next.value === null) return done(null);
    open.push(...next.value);
  }
  return done({ parts, bows: about.bows, gains: about.gains, known: about.nowKnown });
}

/** A cut as it was made in the round before, if nothing that leads to it has changed; a cut whose image is made already depends on that
 *  too, and is made anew. */
function cutOnce(node: OpenNode, cut: number, about: Carrying): Outcome<OpenNode[] | null> {
  const key = keyOf(node, cut, about);
  const before = about.known.get(key);
  const made: Outcome<KnownCut | null> = before === undefined ? cutNode(node, cut, about) : done(before);
  if (!made.ok || made.value === null) return made.ok ? done(null) : made;
  const { nodes, bow, gainMm } = made.value;
  about.nowKnown.set(key, made.value);
  if (bow === null) about.stayed.add(cut);
  else {
    about.bows.set(cut, bow);
    about.gains.set(cut, gainMm);
  }
  return done(nodes);
}

function keyOf(node: OpenNode, cut: number, about: Carrying): string {
  const { upMm, downMm } = about.reach.get(cut) ?? { upMm: 0, downMm: 0 };
  const hasImage = twinsOf(cut, about.flat.cuts, about.mirrorX).some((other) => isDecided(other, about));
  return `${node.key} ${cut}:${upMm}:${downMm}${hasImage ? ` in round ${about.round}` : ''}`;
}

function isDecided(cut: number, about: Carrying): boolean {
  return about.bows.has(cut) || about.stayed.has(cut);
}

/** The parts a node falls into; bowed if that pays and gives the same parts as the flat cut, else flat. */
function cutNode(node: OpenNode, cut: number, about: Carrying): Outcome<KnownCut | null> {
  const { plane } = about.flat.cuts[cut]!;
  const reach = about.reach.get(cut);
  if (reach !== undefined) {
    for (const costed of bowsToTry(node.part, cut, reach, about)) {
      const bowed = dampedSplit(node, costed, cut, about);
      if (!bowed.ok || bowed.value !== null) return bowed;
    }
  }
  const split = splitByPlane(node.part.mesh, plane, {
    triangulate: about.work.solid.triangulate,
    sourceTri: node.part.sourceTri,
    capSourceOf: () => -1 - cut,
  });
  if (!split.ok) return split;
  const found = nodesOf(split.value, node, cut, about);
  return done(found === null || found.crumbs.length > 0 ? null : { nodes: found.nodes, bow: null, gainMm: 0 });
}

/** Cuts along a bow that goes back into the plane where its face could not be made or a crumb was cut off; null when what is left of it
 *  is not worth it, or still cannot be made. */
function dampedSplit(node: OpenNode, costed: CostedBow, cut: number, about: Carrying): Outcome<KnownCut | null> {
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
      mirrorX !== null && !isMiddle(bow.plane) && isNearlySamePlane(mirroredPlane(bow.plane, mirrorX), bow.plane);
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
    const twin = twinsOf(cut, about.flat.cuts, mirrorX).find((other) => isDecided(other, about));
    const made = twin === undefined ? undefined : about.bows.get(twin);
    if (twin !== undefined) return made === undefined ? [] : [costed(mirroredBow(made, mirrorX, plane))];
  }
  const free = bestBow(part, plane, shell, reach);
  if (free === null) return [];
  if (mirrorX === null || isMiddle(plane) || !isNearlySamePlane(mirroredPlane(plane, mirrorX), plane)) return [free];
  const halves = [costed(evenedBow(free.bow, mirrorX, 1)), costed(evenedBow(free.bow, mirrorX, -1))];
  return halves.sort((one, other) => one.costMm - other.costMm);
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
  const key = keyOf(node, cut, about);
  for (const side of [0, 1] as const) {
    const leaves = node.leaves.filter((leaf) => about.flat.parts[leaf]!.path[node.depth]!.side === side);
    const half = side === 0 ? split.below : split.above;
    const components = half.sourceTri.length === 0 ? [] : splitComponents(half);
    const shared = leavesOf(components, leaves, about.leafOf);
    if (shared === null || leaves.some((leaf) => about.flat.parts[leaf]!.path[node.depth]!.cut !== cut)) return null;
    components.forEach((part, i) => {
      if (shared[i]!.length > 0)
        nodes.push({ part, leaves: shared[i]!, depth: node.depth + 1, key: `${key}/${side}${i}` });
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
