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
    const corners = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!] as const;
    const levels = corners.map(levelAt);
    const to = Math.floor(Math.max(...levels));
    for (let level = Math.floor(Math.min(...levels)) + 1; level <= to; level++) {
      const ends = [0, 1, 2].filter((i) => levels[i]! < level !== levels[(i + 1) % 3]! < level);
      if (ends.length !== 2) continue;
      const [one, other] = ends.map((i) => edgeKey(corners[i]!, corners[(i + 1) % 3]!)) as [string, string];
      steps.put(level, one, other);
    }
  }
  return steps.lines();
}

function edgeKey(a: number, b: number): string {
  return a < b ? `${a} ${b}` : `${b} ${a}`;
}

/** The crossed edges at each level, each with the one or two it is joined to. */
class StepsByLevel {
  private readonly levels = new Map<number, Map<string, string[]>>();
  private readonly positions: Float64Array;
  private readonly levelAt: (v: number) => number;

  constructor(positions: Float64Array, levelAt: (v: number) => number) {
    this.positions = positions;
    this.levelAt = levelAt;
  }

  put(level: number, one: string, other: string): void {
    const joined = this.levels.get(level) ?? new Map<string, string[]>();
    this.levels.set(level, joined);
    for (const [from, to] of [
      [one, other],
      [other, one],
    ] as const)
      joined.set(from, [...(joined.get(from) ?? []), to]);
  }

  lines(): Float32Array[] {
    return [...this.levels].flatMap(([level, joined]) => {
      const begun = new Set<string>();
      const ends = [...joined.keys()].filter((edge) => joined.get(edge)!.length === 1);
      // open lines from their ends, then what is left goes round
      return [...ends, ...joined.keys()].flatMap((start) => {
        if (begun.has(start)) return [];
        const line: string[] = [];
        let at: string | undefined = start;
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

  private crossing(edge: string, level: number): readonly number[] {
    const [a, b] = edge.split(' ').map(Number) as [number, number];
    const [from, to] = [this.levelAt(a), this.levelAt(b)];
    const share = (level - from) / (to - from);
    const p = this.positions;
    return [0, 1, 2].map((c) => p[a * 3 + c]! + share * (p[b * 3 + c]! - p[a * 3 + c]!));
  }
}
