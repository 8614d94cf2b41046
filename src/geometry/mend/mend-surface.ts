// From triangles that only lie side by side to a surface in which every edge and vertex is sound, holes closed, openings named.
import { partOfWork, type Work } from '../../base/work.ts';
import { edgeRings } from '../../mesh/edge-rings.ts';
import { nextHalfEdge } from '../../mesh/half-edges.ts';
import { bounds, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, NONE, type Vec3 } from '../../mesh/mesh.ts';
import { removeCrumbs } from './crumbs.ts';
import { removeDoubleTriangles } from './double-triangles.ts';
import { type Defects, findDefects } from './find-defects.ts';
import { removeFlatTriangles } from './flat-triangles.ts';
import { fillHoles } from './holes/fill-hole.ts';
import { simpleLoops } from './holes/open-loops.ts';
import { HOLE_LIMITS, type HoleLimits, type Rim, rimsOf, sortRims } from './holes/rims.ts';
import type { MendKind, MendStep } from './mend-step.ts';
import { orientPatches } from './orient-patches.ts';
import { type PairedEdges, pairEdges } from './pair-edges.ts';
import { partSides } from './part-sides.ts';
import { splitTJunctions } from './t-junctions.ts';
import { weldNear } from './weld-near.ts';

export type { Rim } from './holes/rims.ts';

export interface MendOptions {
  /** Sides of a seam this near are joined, as a share of the diagonal of the whole; up to eight times as far while that closes more. */
  readonly reachShare: number;
  /** keep: large openings stay open and are named as rims. close: they get a flat lid. */
  readonly openings: 'keep' | 'close';
  readonly holes: HoleLimits;
}

export const MEND_DEFAULTS: MendOptions = { reachShare: 2e-5, openings: 'keep', holes: HOLE_LIMITS };

export interface MendedSurface {
  /** Every edge has one face or two that run opposite ways, every vertex one fan. The mesh given, untouched, if it was sound. */
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
  /** Openings that are left, longest first. */
  readonly rims: readonly Rim[];
  /** Of the mesh given. */
  readonly defects: Defects;
  /** Edges along which a surface with one side only was cut. */
  readonly oneSidedEdges: number;
}

/** Mends what has one answer. mesh: welded exactly (`weldSoup`), any space, mm; not changed. Order: double triangles, seams that miss each
 *  other, T-junctions, one side out, flat triangles, crowded edges and pinched points, crumbs, holes.
 *  Cost: O(n): a sound mesh 0.6 s per million triangles, a damaged one 5 s, holes as `fillHoles` says.
 *  Refuses nothing: what is left is in `rims`. Does not look for crossings and does not turn shells outward.
 *  Method: docs/methods/mend.md, docs/methods/hole-filling.md. Weak: a seam wider than the reach is a row of narrow holes. */
export function mendSurface(mesh: Mesh, options: Partial<MendOptions>, work: Work): MendedSurface {
  const settings = { ...MEND_DEFAULTS, ...options };
  work.tick(0, 'looking for defects');
  const defects = findDefects(mesh);
  work.tick(0.3, 'mending the surface');
  if (defects.isClean) return { mesh, steps: [], rims: [], defects, oneSidedEdges: 0 };
  const joined = joinSeams(mesh, settings, partOfWork(work, 0.3, 0.6));
  const parted = partSurface(joined.mesh, partOfWork(work, 0.6, 0.8));
  const closed = closeHoles(parted.mesh, settings, partOfWork(work, 0.8, 1));
  const steps = merged([...joined.steps, ...parted.steps, ...closed.steps]);
  return { mesh: closed.mesh, steps, rims: closed.rims, defects, oneSidedEdges: joined.oneSidedEdges };
}

interface Stage {
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
}

/** Everything that is done before it is settled who is next to whom. */
function joinSeams(mesh: Mesh, { reachShare }: MendOptions, work: Work): Stage & { readonly oneSidedEdges: number } {
  const steps: MendStep[] = [];
  let now = mesh;
  const take = (stage: Stage, fraction: number): void => {
    now = stage.mesh;
    steps.push(...stage.steps);
    work.tick(fraction, 'mending the surface');
  };
  const withinMm = reachShare * Math.hypot(...sizeOf(bounds(mesh)));
  take(removeDoubleTriangles(now), 0.2);
  take(weldNear(now, { withinMm, mostMm: 8 * withinMm }), 0.4);
  take(splitTJunctions(now, withinMm), 0.6);
  if (steps.some(({ kind }) => kind === 'vertices-joined' || kind === 'edges-split'))
    take(removeDoubleTriangles(now), 0.7);
  const oriented = orientPatches(now);
  take(oriented, 0.8);
  take(removeFlatTriangles(now), 1);
  return { mesh: now, steps, oneSidedEdges: oriented.oneSidedEdges };
}

/** Pairs faces at crowded edges, drops crumbs, gives every fan its own vertex; fans that a hole lies between stay together. */
function partSurface(mesh: Mesh, work: Work): Stage {
  const steps: MendStep[] = [];
  let now = mesh;
  let edges = pairEdges(now, edgeRings(now));
  const { crowded, firstCrowded } = edges;
  if (crowded > 0)
    steps.push({ kind: 'edges-parted', count: crowded, largestMm: null, atMm: edgePlace(now, firstCrowded) });
  const crumbs = removeCrumbs(now, edges);
  if (crumbs !== null) {
    now = crumbs.mesh;
    steps.push(crumbs.step);
    edges = pairEdges(now, edgeRings(now));
  }
  work.tick(0.5, 'mending the surface');
  const parted = partedPoints(now, edges, 'join');
  return { mesh: parted.mesh, steps: [...steps, ...parted.steps] };
}

function partedPoints(mesh: Mesh, pairs: PairedEdges, acrossHoles: 'join' | 'part'): Stage {
  const parted = partSides(mesh, pairs, acrossHoles);
  return { mesh: parted.mesh, steps: pointStep(mesh, parted) };
}

function closeHoles(mesh: Mesh, settings: MendOptions, work: Work): Stage & { readonly rims: readonly Rim[] } {
  const { mates } = pairEdges(mesh, edgeRings(mesh));
  work.tick(0.1, 'closing holes');
  const loops = simpleLoops(mesh, openOf(mates));
  const { holes, openings } = sortRims(rimsOf(mesh, mates, loops), settings.holes);
  const steps: MendStep[] = [];
  let now = mesh;
  const fill = (rims: readonly Rim[], shape: 'smooth' | 'flat', part: Work): void => {
    if (rims.length === 0) return;
    now = fillHoles(
      now,
      rims.map(({ loop }) => loop),
      { shape },
      part,
    ).mesh;
    const longest = rims.reduce((best, rim) => (rim.lengthMm > best.lengthMm ? rim : best));
    steps.push({ kind: 'holes-filled', count: rims.length, largestMm: longest.lengthMm, atMm: longest.atMm });
  };
  fill(
    holes.filter(({ shareOfShell }) => shareOfShell <= MOST_SMOOTH),
    'smooth',
    partOfWork(work, 0.2, 0.5),
  );
  fill(
    holes.filter(({ shareOfShell }) => shareOfShell > MOST_SMOOTH),
    'flat',
    partOfWork(work, 0.5, 0.6),
  );
  work.tick(0.6, 'closing holes');
  if (settings.openings === 'close') fill(openings, 'flat', partOfWork(work, 0.6, 0.9));
  const parted = partedPoints(now, pairEdges(now, edgeRings(now)), 'part');
  steps.push(...parted.steps);
  const left = settings.openings === 'close' ? [] : [...openings].sort((a, b) => b.lengthMm - a.lengthMm);
  return { mesh: parted.mesh, steps, rims: left };
}

/** Lids of a larger share of the shell (a bust's back or foot) are flat: carried on, the surface would bulge. */
const MOST_SMOOTH = 0.03;

function openOf(mates: Int32Array): Int32Array {
  const open: number[] = [];
  for (let h = 0; h < mates.length; h++) if (mates[h] === NONE) open.push(h);
  return Int32Array.from(open);
}

function pointStep(before: Mesh, parted: { readonly count: number; readonly first: number }): readonly MendStep[] {
  if (parted.count === 0) return [];
  const [x, y, z] = before.positions.subarray(3 * parted.first, 3 * parted.first + 3);
  return [{ kind: 'points-parted', count: parted.count, largestMm: null, atMm: [x!, y!, z!] }];
}

function edgePlace({ positions: p, triangles }: Mesh, h: number): Vec3 {
  const a = 3 * triangles[h]!;
  const b = 3 * triangles[nextHalfEdge(h)]!;
  return [(p[a]! + p[b]!) / 2, (p[a + 1]! + p[b + 1]!) / 2, (p[a + 2]! + p[b + 2]!) / 2];
}

/** One step of each kind, in the order of the first of it. */
function merged(steps: readonly MendStep[]): readonly MendStep[] {
  const byKind = new Map<MendKind, MendStep>();
  for (const step of steps) {
    const known = byKind.get(step.kind);
    if (known === undefined) byKind.set(step.kind, step);
    else {
      const larger = (step.largestMm ?? 0) > (known.largestMm ?? 0) ? step : known;
      byKind.set(step.kind, { ...larger, count: known.count + step.count });
    }
  }
  return [...byKind.values()];
}
