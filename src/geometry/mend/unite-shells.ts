// Solids that overlap become the one solid they cover together.
import { done, type Outcome } from '../../base/findings.ts';
import { together } from '../../mesh/builders.ts';
import { type Mesh, NONE, numTris } from '../../mesh/mesh.ts';
import type { SelfCrossings } from '../crossings/self-crossings.ts';
import { callKernel, type SolidKernel } from '../solid/solid.ts';
import type { MendStep } from './mend-step.ts';
import { partOfShells, type Shells } from './shells.ts';

export type CrossingPairs = Pick<SelfCrossings, 'pairList' | 'firstAtMm'>;

/** Unites all solids that cross or lie within one another, each with its cavities; the others stay bit-equal. Nothing crossing:
 *  the same mesh, no step. The step counts the shells that went into a union.
 *  Space: that of the mesh. Cost: the kernel's, about 1 s and 1 GB per million triangles that take part; its positions are in
 *  single precision. Refuses SOLID_FAILED, SOLID_TOO_LARGE. Crossings of one shell with itself stay. */
export function uniteShells(
  mesh: Mesh,
  shells: Shells,
  crossings: CrossingPairs,
  solid: SolidKernel,
): Outcome<{ readonly mesh: Mesh; readonly steps: readonly MendStep[] }> {
  const groupOf = groupsOf(shells);
  const clusterOf = joinCrossing(shells, groupOf, crossings.pairList);
  const clusters = clustersOf(shells, groupOf, clusterOf);
  const united = clusters.filter((groups) => groups.length > 1);
  if (united.length === 0) return done({ mesh, steps: [] });
  const parts: Mesh[] = [];
  const apart = new Set<number>();
  for (const groups of clusters) {
    if (groups.length === 1) {
      for (const shell of groups[0]!) apart.add(shell);
      continue;
    }
    const solids = groups.map((group) => partOfShells(mesh, shells, new Set(group)));
    const triangles = solids.reduce((sum, part) => sum + numTris(part), 0);
    const one = callKernel(triangles, () => solid.unite(solids));
    if (!one.ok) return one;
    parts.push(one.value);
  }
  if (apart.size > 0) parts.push(partOfShells(mesh, shells, apart));
  const count = united.reduce((sum, groups) => sum + groups.reduce((all, group) => all + group.length, 0), 0);
  const step: MendStep = { kind: 'shells-united', count, largestMm: null, atMm: crossings.firstAtMm };
  return done({ mesh: together(parts), steps: [step] });
}

/** A solid and the cavities directly in it are one group, named by the solid; NONE for what is neither. */
function groupsOf({ shells }: Shells): Int32Array {
  return Int32Array.from(shells, ({ role, parent }, s) =>
    role === 'solid' || role === 'inner' ? s : role === 'cavity' ? parent : NONE,
  );
}

/** Groups that cross, or one in the material of the other, share a cluster. */
function joinCrossing({ shells, shellOfTri }: Shells, groupOf: Int32Array, pairs: Int32Array): Int32Array {
  const leader = Int32Array.from(shells.keys());
  const find = (s: number): number => {
    let at = s;
    while (leader[at] !== at) {
      leader[at] = leader[leader[at]!]!;
      at = leader[at]!;
    }
    return at;
  };
  const join = (a: number, b: number): void => {
    if (a !== NONE && b !== NONE) leader[find(a)] = find(b);
  };
  for (const [s, { role, parent }] of shells.entries()) if (role === 'inner') join(groupOf[s]!, groupOf[parent]!);
  for (let i = 0; i < pairs.length; i += 2)
    join(groupOf[shellOfTri[pairs[i]!]!]!, groupOf[shellOfTri[pairs[i + 1]!]!]!);
  return leader.map((_, s) => find(s));
}

/** Per cluster its groups, each the list of its shells. */
function clustersOf({ shells }: Shells, groupOf: Int32Array, clusterOf: Int32Array): number[][][] {
  const clusters = new Map<number, Map<number, number[]>>();
  for (const s of shells.keys()) {
    const group = groupOf[s]!;
    if (group === NONE) continue;
    const cluster = clusterOf[group]!;
    const groups = clusters.get(cluster) ?? new Map<number, number[]>();
    groups.set(group, [...(groups.get(group) ?? []), s]);
    clusters.set(cluster, groups);
  }
  return [...clusters.values()].map((groups) => [...groups.values()]);
}
