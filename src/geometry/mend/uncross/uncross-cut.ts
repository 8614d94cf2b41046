// A surface cut along the lines in which it crosses itself, so that no triangle reaches over such a line.
import type { Work } from '../../../base/work.ts';
import { type Mesh, meshOf, numTris } from '../../../mesh/mesh.ts';
import { weldMesh } from '../../../mesh/weld.ts';
import { type CrossingLines, flatView } from './uncross-points.ts';
import { cutTriangle } from './uncross-triangulation.ts';

export interface CutSurface {
  /** Same surface, more triangles. At a line four of them meet. */
  readonly mesh: Mesh;
  /** Per triangle of `mesh`: the triangle of the input that it is a part of. */
  readonly sourceTri: Int32Array;
  /** Triangles of the input on which a line could not be drawn, because rounding made it cross another. */
  readonly undrawn: readonly number[];
}

/** Replaces every triangle that crosses another by its parts. Cost: O(n) beside the triangles cut. */
export function cutAlong(mesh: Mesh, lines: CrossingLines, work: Work): CutSurface {
  const positions = new Float64Array(mesh.positions.length + lines.positions.length);
  positions.set(mesh.positions);
  positions.set(lines.positions, mesh.positions.length);
  const parts: number[] = [];
  const isCut = new Uint8Array(numTris(mesh));
  const undrawn: number[] = [];
  const sources: number[] = [];
  let steps = 0;
  for (let i = 0; i < lines.tris.length; i++) {
    const tri = lines.tris[i]!;
    steps += 100 + (lines.linesStart[i + 1]! - lines.linesStart[i]!) ** 2;
    if (steps > STEPS_A_TICK) {
      steps = 0;
      work.tick((0.8 * i) / lines.tris.length, 'cutting crossings');
    }
    isCut[tri] = 1;
    if (cutOne({ mesh, positions, lines, parts }, i) > 0) undrawn.push(tri);
    while (sources.length < parts.length / 3) sources.push(tri);
  }
  work.tick(0.8, 'cutting crossings');
  const whole: number[] = [];
  for (let tri = 0; tri < isCut.length; tri++) if (isCut[tri] === 0) whole.push(tri);
  const triangles = new Uint32Array(whole.length * 3 + parts.length);
  triangles.set(mesh.triangles.filter((_, h) => isCut[Math.trunc(h / 3)] === 0));
  triangles.set(parts, whole.length * 3);
  const all = meshOf(positions, triangles);
  const sourceTri = Int32Array.from(whole.concat(sources)).filter((_, tri) => !isCollapsed(all, tri));
  return { mesh: weldMesh(all).mesh, sourceTri, undrawn };
}

/** Some 20 ms. */
const STEPS_A_TICK = 50_000;

/** Two corners at one place: welding leaves such triangles out. */
function isCollapsed({ positions: p, triangles }: Mesh, tri: number): boolean {
  for (let k = 0; k < 3; k++) {
    const [a, b] = [triangles[3 * tri + k]! * 3, triangles[3 * tri + ((k + 1) % 3)]! * 3];
    if (p[a] === p[b] && p[a + 1] === p[b + 1] && p[a + 2] === p[b + 2]) return true;
  }
  return false;
}

interface Cutting {
  readonly mesh: Mesh;
  readonly positions: Float64Array;
  readonly lines: CrossingLines;
  /** Corners of the parts. */
  readonly parts: number[];
}

function cutOne({ mesh, positions, lines, parts }: Cutting, place: number): number {
  const tri = lines.tris[place]!;
  const named: number[] = [];
  const nameOf = new Map<number, number>();
  const local = (point: number): number => {
    let name = nameOf.get(point);
    if (name === undefined) {
      name = named.length;
      nameOf.set(point, name);
      named.push(point);
    }
    return name;
  };
  for (let k = 0; k < 3; k++) local(mesh.triangles[3 * tri + k]!);
  const sides = [0, 1, 2].map((k) => lines.pointsOn(3 * tri + k).map(local));
  const edgePoints = named.length;
  const joined: number[] = [];
  for (let at = lines.linesStart[place]!; at < lines.linesStart[place + 1]!; at++) {
    const line = lines.lines[lines.linesOf[at]!]!.map(local);
    for (let k = 1; k < line.length; k++) joined.push(line[k - 1]!, line[k]!);
  }
  const [u, v] = flatView(mesh, tri);
  const cut = cutTriangle({
    points: named.flatMap((point) => [positions[3 * point + u]!, positions[3 * point + v]!]),
    onSides: [sides[0]!, sides[1]!, sides[2]!],
    inside: named.slice(edgePoints).map((_, k) => edgePoints + k),
    lines: joined,
  });
  for (const name of cut.triangles) parts.push(named[name]!);
  return cut.undrawn;
}
