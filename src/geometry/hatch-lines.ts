// Hatching of a part of a surface: where parallel planes at even distances cross some of its triangles, as lines.
import type { Mesh, Vec3 } from '../mesh/mesh.ts';

export interface HatchOptions {
  /** Unit normal of the planes. */
  readonly normal: Vec3;
  readonly spacingMm: number;
}

/** Lines (xyz ...) on the triangles given (offsets into `triangles`), joined over shared edges; a corner on a plane counts as above it, so no line is drawn twice.
 *  Space: that of the mesh, mm. Cost: O(triangles given + steps of the lines). */
export function hatchLines(mesh: Mesh, some: Uint32Array, { normal, spacingMm }: HatchOptions): Float32Array[] {
  const { positions: p, triangles } = mesh;
  const levelAt = (v: number): number =>
    (p[v * 3]! * normal[0] + p[v * 3 + 1]! * normal[1] + p[v * 3 + 2]! * normal[2]) / spacingMm;
  const steps = new StepsByLevel(p, levelAt);
  for (const t of some) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const [la, lb, lc] = [levelAt(a), levelAt(b), levelAt(c)];
    const to = Math.floor(Math.max(la, lb, lc));
    const from = Math.floor(Math.min(la, lb, lc)) + 1;
    // most triangles of a fine mesh lie between two planes
    if (from > to) continue;
    for (let level = from; level <= to; level++) {
      const ends: number[] = [];
      if (la < level !== lb < level) ends.push(steps.edge(a, b));
      if (lb < level !== lc < level) ends.push(steps.edge(b, c));
      if (lc < level !== la < level) ends.push(steps.edge(c, a));
      if (ends.length === 2) steps.put(level, ends[0]!, ends[1]!);
    }
  }
  return steps.lines();
}

/** The crossed edges at each level, each with the one or two it is joined to. An edge is one number, of its lower and its higher vertex. */
class StepsByLevel {
  private readonly levels = new Map<number, Map<number, number[]>>();
  private readonly positions: Float64Array;
  private readonly levelAt: (v: number) => number;

  constructor(positions: Float64Array, levelAt: (v: number) => number) {
    this.positions = positions;
    this.levelAt = levelAt;
  }

  edge(a: number, b: number): number {
    return Math.min(a, b) * this.positions.length + Math.max(a, b);
  }

  put(level: number, one: number, other: number): void {
    const joined = this.levels.get(level) ?? new Map<number, number[]>();
    this.levels.set(level, joined);
    join(joined, one, other);
    join(joined, other, one);
  }

  lines(): Float32Array[] {
    return [...this.levels].flatMap(([level, joined]) => {
      const begun = new Set<number>();
      const ends = [...joined.keys()].filter((edge) => joined.get(edge)!.length === 1);
      // open lines from their ends, then what is left goes round
      return [...ends, ...joined.keys()].flatMap((start) => {
        if (begun.has(start)) return [];
        const line: number[] = [];
        let at: number | undefined = start;
        while (at !== undefined && !begun.has(at)) {
          begun.add(at);
          line.push(at);
          at = joined.get(at)!.find((next) => !begun.has(next));
        }
        const [last] = joined.get(line.at(-1)!)!.filter((edge) => edge === start);
        if (last !== undefined && line.length > 2) line.push(start);
        return line.length < 2 ? [] : [Float32Array.from(line.flatMap((edge) => this.crossing(edge, level)))];
      });
    });
  }

  private crossing(edge: number, level: number): readonly number[] {
    const b = edge % this.positions.length;
    const a = (edge - b) / this.positions.length;
    const [from, to] = [this.levelAt(a), this.levelAt(b)];
    const share = (level - from) / (to - from);
    const p = this.positions;
    return [0, 1, 2].map((c) => p[a * 3 + c]! + share * (p[b * 3 + c]! - p[a * 3 + c]!));
  }
}

function join(joined: Map<number, number[]>, from: number, to: number): void {
  const known = joined.get(from);
  if (known === undefined) joined.set(from, [to]);
  else known.push(to);
}
