// The line along which a mating face meets the outside of the shell, read from the piece itself.

import type { MeshPart } from '../../../geometry/plane-split.ts';
import { cross, dot, minus, plus, scaled, unit } from '../../../geometry/three-by-three.ts';
import { halfEdgeTwins } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE, type Vec3 } from '../../../mesh/mesh.ts';

/** A stretch of it, nearly straight. The face lies to its left seen from outside the piece. */
export interface OuterEdge {
  readonly from: Vec3;
  readonly to: Vec3;
  /** Unit, of the mating face, out of the piece. */
  readonly normal: Vec3;
  /** How the wall leans below the face, degrees: 0 square to it, more where the piece grows wider away from it. */
  readonly leanDeg: number;
  /** How much the line turns at either end, degrees: positive where the face is hollow there; 0 at an end of the line. */
  readonly turnDeg: readonly [number, number];
}

interface RimStep {
  readonly a: number;
  readonly b: number;
  readonly normal: Vec3;
  readonly leanDeg: number;
}

/** The outer edge of the mating face of one seam, straightened to `withinMm`. `seen`: per triangle of the worn shell, 0 on the inside.
 *  Cost: O(triangles of the piece). */
export function outerEdges(
  part: MeshPart,
  seam: number,
  { seen, withinMm }: { readonly seen: Uint8Array; readonly withinMm: number },
): OuterEdge[] {
  const { positions } = part.mesh;
  return chainsOf(rimSteps(part, seam, seen)).flatMap((chain) => {
    const isRing = chain[0]!.a === chain.at(-1)!.b;
    const cuts = straightened(chain, positions, { isRing, withinMm });
    const runs = cuts.slice(1).map((end, i) => runOf(chain.slice(cuts[i]!, end), positions));
    return runs.map((run, i) => {
      const before = runs[i - 1] ?? (isRing ? runs.at(-1)! : null);
      const after = runs[i + 1] ?? (isRing ? runs[0]! : null);
      return { ...run, turnDeg: [turnOf(before, run), turnOf(run, after)] as const };
    });
  });
}

function rimSteps({ mesh, sourceTri }: MeshPart, seam: number, seen: Uint8Array): RimStep[] {
  const twins = halfEdgeTwins(mesh);
  const steps: RimStep[] = [];
  for (let h = 0; h < twins.length; h++) {
    if (sourceTri[Math.trunc(h / 3)] !== -1 - seam || twins[h] === NONE) continue;
    const wallTri = Math.trunc(twins[h]! / 3);
    const source = sourceTri[wallTri]!;
    if (source < 0 || seen[source] === 0) continue;
    const next = h % 3 === 2 ? h - 2 : h + 1;
    const [a, b] = [mesh.triangles[h]!, mesh.triangles[next]!];
    const normal = normalOf(mesh, Math.trunc(h / 3));
    steps.push({ a, b, normal, leanDeg: leanOf(mesh, wallTri, { a, b, normal }) });
  }
  return steps;
}

/** Degrees between the wall, going away from the face, and the face's normal turned round. */
function leanOf(mesh: Mesh, wallTri: number, step: Omit<RimStep, 'leanDeg'>): number {
  const along = unit(minus(pointOf(mesh.positions, step.b), pointOf(mesh.positions, step.a)));
  const across = cross(normalOf(mesh, wallTri), along);
  const away = dot(across, step.normal) <= 0 ? across : scaled(across, -1);
  return (Math.atan2(dot(away, cross(along, step.normal)), -dot(away, step.normal)) * 180) / Math.PI;
}

/** Steps joined end to start; rings first go round. */
function chainsOf(steps: readonly RimStep[]): RimStep[][] {
  const from = new Map<number, number[]>();
  const comesIn = new Set<number>();
  steps.forEach((step, i) => {
    from.set(step.a, [...(from.get(step.a) ?? []), i]);
    comesIn.add(step.b);
  });
  const used = new Uint8Array(steps.length);
  const chains: RimStep[][] = [];
  const follow = (first: number): void => {
    const chain: RimStep[] = [];
    let at: number | undefined = first;
    while (at !== undefined) {
      used[at] = 1;
      chain.push(steps[at]!);
      at = from.get(steps[at]!.b)?.find((i) => used[i] === 0);
    }
    chains.push(chain);
  };
  steps.forEach((step, i) => {
    if (used[i] === 0 && !comesIn.has(step.a)) follow(i);
  });
  steps.forEach((_, i) => {
    if (used[i] === 0) follow(i);
  });
  return chains;
}

/** Numbers of the steps at which straight runs begin, and the end: Douglas and Peucker's halving (1973). */
function straightened(
  chain: readonly RimStep[],
  positions: Float64Array,
  { isRing, withinMm }: { readonly isRing: boolean; readonly withinMm: number },
): number[] {
  const at = (i: number): Vec3 => pointOf(positions, i < chain.length ? chain[i]!.a : chain.at(-1)!.b);
  const kept = new Set([0, chain.length]);
  const open: (readonly [number, number])[] = [];
  const halve = (i: number, j: number): void => {
    if (j - i > 1) open.push([i, j]);
  };
  if (isRing) {
    let far = Math.trunc(chain.length / 2);
    for (let i = 1; i < chain.length; i++) if (gap(at(i), at(0)) > gap(at(far), at(0))) far = i;
    kept.add(far);
    halve(0, far);
    halve(far, chain.length);
  } else halve(0, chain.length);
  for (let span = open.pop(); span !== undefined; span = open.pop()) {
    const [i, j] = span;
    let [far, most] = [i, withinMm];
    for (let k = i + 1; k < j; k++) {
      const off = offLine(at(k), at(i), at(j));
      if (off > most) [far, most] = [k, off];
    }
    if (far === i) continue;
    kept.add(far);
    halve(i, far);
    halve(far, j);
  }
  return [...kept].sort((a, b) => a - b);
}

/** One straight run with the means of what it replaces. */
function runOf(steps: readonly RimStep[], positions: Float64Array): Omit<OuterEdge, 'turnDeg'> {
  let normal: Vec3 = [0, 0, 0];
  let [lean, length] = [0, 0];
  for (const step of steps) {
    const mm = gap(pointOf(positions, step.a), pointOf(positions, step.b));
    normal = plus(normal, scaled(step.normal, mm));
    lean += step.leanDeg * mm;
    length += mm;
  }
  return {
    from: pointOf(positions, steps[0]!.a),
    to: pointOf(positions, steps.at(-1)!.b),
    normal: unit(normal),
    leanDeg: length > 0 ? lean / length : 0,
  };
}

function turnOf(
  first: Omit<OuterEdge, 'turnDeg'> | null | undefined,
  second: Omit<OuterEdge, 'turnDeg'> | null,
): number {
  if (first == null || second === null) return 0;
  const [u, v] = [minus(first.to, first.from), minus(second.to, second.from)];
  return (Math.atan2(-dot(cross(u, v), second.normal), dot(u, v)) * 180) / Math.PI;
}

function normalOf({ positions, triangles }: Mesh, tri: number): Vec3 {
  const [a, b, c] = [0, 1, 2].map((k) => pointOf(positions, triangles[tri * 3 + k]!)) as [Vec3, Vec3, Vec3];
  return unit(cross(minus(b, a), minus(c, a)));
}

function pointOf(positions: Float64Array, vert: number): Vec3 {
  return [positions[vert * 3]!, positions[vert * 3 + 1]!, positions[vert * 3 + 2]!];
}

function gap(a: Vec3, b: Vec3): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

/** Distance from the line through two points; from the first when they fall together. */
function offLine(p: Vec3, a: Vec3, b: Vec3): number {
  const along = minus(b, a);
  const length2 = dot(along, along);
  if (length2 === 0) return gap(p, a);
  const share = Math.max(0, Math.min(1, dot(minus(p, a), along) / length2));
  return gap(p, plus(a, scaled(along, share)));
}
