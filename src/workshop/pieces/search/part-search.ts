// The search for hidden seams: a part is divided best by the cut whose two sides, each divided by itself, come out cheapest.
import type { Work } from '../../../base/work.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { candidateCuts, type PartCut } from './candidate-cuts.ts';
import { areTwins, chipOf, isLopsided, mirroredPlane, seamCost, sideCost } from './cut-costs.ts';
import { type Division, type DivisionSearch, divisionOf, printCost, wholeDivision } from './division-search.ts';
import { type DivisionTask, type ProxyPart, splitPart } from './proxy-part.ts';
import { gaugeOf } from './refine-division.ts';

/** Ways in which the whole, a large part and a small one are gone on with, and how many are measured on the shell to choose them. */
const STARTS = { kept: 10, measured: 20 } as const;
const OF_LARGE = { kept: 3, measured: 5 } as const;
const OF_SMALL = { kept: 2, measured: 4 } as const;
/** Beds that a small part is thought to take at most. */
const SMALL = 3;
/** What is thought of a part before it is swept counts this much: little, so that parts are swept rather than believed in; when time is up,
 *  much, so that what was begun is finished. */
const BEFORE = { first: 0.9, step: 0.05, least: 0.75, late: 1.25 } as const;
/** Parts swept until time is up, and until all is given up. */
const MOST_SWEEPS = 24;
const LAST_SWEEP = 160;

/** Complete divisions, the cheapest first. A seam costs what it costs on the shell itself, and what a part costs does not depend on the others:
 *  so the two sides of a cut are divided by themselves, where a beam ranks whole divisions by an estimate. The part swept next is always an open
 *  one of the division that is thought cheapest. A side that is the mirror image of another is divided as its image is.
 *  task: what is weighed; sweeping: the weights by which planes are offered. start: cuts that are made already.
 *  Cost: some 36 sweeps, and what it takes to finish. Method: best first in an and-or tree (AO*, Nilsson 1980), the estimate not always below;
 *  docs/methods/division-search.md. */
export function searchParts(
  task: DivisionTask,
  sweeping: DivisionTask,
  by: { readonly directions: readonly Vec3[]; readonly work: Work },
  start: Division = wholeDivision(task),
): DivisionSearch {
  const pieces = start.leaves.reduce((sum, leaf) => sum + leaf.need.pieces, 0);
  const search: Search = { ...by, task, sweeping, meanMm2: start.whole.areaMm2 / pieces, sweeps: 0, planes: 0 };
  const root: Node =
    start.cuts.length === 0
      ? nodeOf(search, start.whole)
      : { part: start.whole, thoughtMm: 0, image: null, ways: [wayOf(search, start.cuts, 0, start.leaves)] };
  let mostSeen = start.leaves.length;
  let before: number = BEFORE.first;
  while (search.sweeps < LAST_SWEEP) {
    const isLate = search.sweeps >= MOST_SWEEPS;
    if (isLate && root.ways?.some(isWhole)) break;
    const open = openIn(root, isLate ? BEFORE.late : before);
    if (open !== null) open.ways = waysOf(search, open);
    else if (before > BEFORE.least) before -= BEFORE.step;
    else break;
  }
  const complete: Division[] = [];
  for (const way of (root.ways ?? []).filter(isWhole)) {
    const made = dividedBy(search, way);
    if (made === null) continue;
    mostSeen = Math.max(mostSeen, made.leaves.length);
    if (made.leaves.length <= task.mostPieces) complete.push(divisionOf(task, start.whole, made.cuts, made.leaves));
  }
  complete.sort((a, b) => a.expectedMm - b.expectedMm);
  return { complete, planesTried: search.planes, divisions: search.sweeps, mostSeen };
}

interface Search {
  readonly task: DivisionTask;
  readonly sweeping: DivisionTask;
  readonly directions: readonly Vec3[];
  readonly work: Work;
  /** Area of the piece that is thought to be the mean. */
  readonly meanMm2: number;
  sweeps: number;
  planes: number;
}

/** A part, and the ways to cut it as far as they are known. */
interface Node {
  readonly part: ProxyPart;
  /** Exact where it fits. */
  readonly thoughtMm: number;
  /** The part that this is the mirror image of. */
  readonly image: Node | null;
  /** null before it is swept; none where it fits. */
  ways: readonly Way[] | null;
}

interface Way {
  readonly cuts: readonly PartCut[];
  readonly costMm: number;
  readonly sides: readonly Node[];
}

function nodeOf(search: Search, part: ProxyPart, image: Node | null = null): Node {
  return { part, thoughtMm: thoughtMm(search, part), image, ways: null };
}

function wayOf(search: Search, cuts: readonly PartCut[], costMm: number, parts: readonly ProxyPart[]): Way {
  const sides: Node[] = [];
  for (const part of parts) {
    const twin = sides.find((one) => one.image === null && areTwins(search.task, one.part, part));
    sides.push(nodeOf(search, part, twin ?? null));
  }
  return { cuts, costMm, sides };
}

function isFitting({ part }: Node): boolean {
  return part.need.pieces === 1;
}

/** What a part costs, as far as is known. */
function knownMm(node: Node, before: number): number {
  if (isFitting(node)) return node.thoughtMm;
  if (node.image !== null) return knownMm(node.image, before);
  if (node.ways === null) return before * node.thoughtMm;
  return node.ways.reduce((least, way) => Math.min(least, wayMm(way, before)), Infinity);
}

function wayMm({ costMm, sides }: Way, before: number): number {
  return sides.reduce((sum, side) => sum + knownMm(side, before), costMm);
}

function bestWay(ways: readonly Way[], before: number): Way | null {
  let best: Way | null = null;
  let least = Infinity;
  for (const way of ways) {
    const value = wayMm(way, before);
    if (value < least) [best, least] = [way, value];
  }
  return best;
}

/** The largest part, of the division that is thought cheapest, that has to be cut and is not swept; null when there is none. */
function openIn(node: Node, before: number): Node | null {
  if (isFitting(node) || node.image !== null) return null;
  if (node.ways === null) return node;
  let largest: Node | null = null;
  for (const side of bestWay(node.ways, before)?.sides ?? []) {
    const open = openIn(side, before);
    if (open !== null && (largest === null || open.part.areaMm2 > largest.part.areaMm2)) largest = open;
  }
  return largest;
}

/** Whether some way leaves nothing open. */
function isDivided(node: Node): boolean {
  if (isFitting(node)) return true;
  if (node.image !== null) return isDivided(node.image);
  return node.ways?.some(isWhole) ?? false;
}

function isWhole({ sides }: Way): boolean {
  return sides.every(isDivided);
}

/** A part divided until everything fits. */
interface Divided {
  readonly cuts: readonly PartCut[];
  readonly leaves: readonly ProxyPart[];
}

/** The division by a way and by the best of those below; null where an image does not come out. */
function dividedBy(search: Search, way: Way): Divided | null {
  const cuts = [...way.cuts];
  const leaves: ProxyPart[] = [];
  for (const side of way.sides) {
    const made = dividedBest(search, side);
    if (made === null) return null;
    cuts.push(...made.cuts);
    leaves.push(...made.leaves);
  }
  return { cuts, leaves };
}

function dividedBest(search: Search, node: Node): Divided | null {
  if (isFitting(node)) return { cuts: [], leaves: [node.part] };
  if (node.image !== null) {
    const made = dividedBest(search, node.image);
    return made && mirrored(search.task, { ...made, part: node.image.part }, node.part);
  }
  const best = bestWay((node.ways ?? []).filter(isWhole), 1);
  return best && dividedBy(search, best);
}

/** What a part costs: as a piece where it fits, else the estimate of what it will come to. */
function thoughtMm({ task, meanMm2 }: Search, part: ProxyPart): number {
  const { pieces } = part.need;
  return (
    sideCost(task, part.need, part.weighedMm2) + printCost(task, part) + chipOf(task, part.areaMm2 / pieces / meanMm2)
  );
}

/** The ways to cut a part, the most promising first. */
function waysOf(search: Search, { part }: Node): Way[] {
  const { task, work } = search;
  const tick = () => work.tick(Math.min(0.99, search.sweeps / (MOST_SWEEPS + 8)), 'searching for hidden seams');
  const { offers, planesTried } = candidateCuts(search.sweeping, part, search.directions, tick);
  search.planes += planesTried;
  search.sweeps++;
  const { kept, measured } = part.bounds.length === 0 ? STARTS : part.need.pieces > SMALL ? OF_LARGE : OF_SMALL;
  const ways: Way[] = [];
  for (const offer of offers) {
    if (ways.length >= measured) break;
    tick();
    const cut = offer.cut();
    if (cut === null || cut.sides.below.length === 0 || cut.sides.above.length === 0) continue;
    const lopsidedMm = isLopsided(task, part, cut.plane) ? task.weights.lopsided : 0;
    const costMm = seamCost(task, gaugeOf(task, part, cut.plane)) + lopsidedMm;
    ways.push(wayOf(search, [{ part, cut: { ...cut, costMm } }], costMm, [...cut.sides.below, ...cut.sides.above]));
  }
  return ways.sort((a, b) => wayMm(a, 1) - wayMm(b, 1)).slice(0, kept);
}

/** The twin's division in the mirror; null where the part falls apart another way or a piece does not fit there. */
function mirrored(task: DivisionTask, twin: Divided & { readonly part: ProxyPart }, part: ProxyPart): Divided | null {
  const imageOf = new Map<ProxyPart, ProxyPart>([[twin.part, part]]);
  const cuts: PartCut[] = [];
  for (const { part: was, cut } of twin.cuts) {
    const own = imageOf.get(was)!;
    const plane = mirroredPlane(cut.plane, task.mirrorX!);
    const sides = splitPart(task, own, plane);
    for (const side of ['below', 'above'] as const) {
      if (sides[side].length !== cut.sides[side].length) return null;
      for (const one of cut.sides[side]) {
        const image = sides[side].find((other) => areTwins(task, one, other));
        if (image === undefined) return null;
        imageOf.set(one, image);
      }
    }
    cuts.push({ part: own, cut: { ...cut, plane, sides, pair: null } });
  }
  const leaves = twin.leaves.map((leaf) => imageOf.get(leaf)!);
  return leaves.some((leaf) => leaf.need.pieces > 1) ? null : { cuts, leaves };
}
