// Which of the closed shells of a model is a solid, which a cavity in one, which only dust: and all of them turned the right way.
import type { Work } from '../../base/work.ts';
import { type Mesh, meshOf, NONE, type Vec3 } from '../../mesh/mesh.ts';
import { surfaceCheck } from '../../mesh/topology.ts';
import { compactMesh } from '../../mesh/weld.ts';
import type { MendStep } from './mend-step.ts';
import { type MeasuredShell, measureShells } from './shell-measures.ts';
import { insideOf } from './shell-nesting.ts';

/** solid: material inside. cavity: hollow within a solid. inner: a solid that lies wholly within another and adds nothing.
 *  crumb: too small to be meant. flat: encloses nothing (a sheet laid double). sheet: has open edges. */
export type ShellRole = 'solid' | 'cavity' | 'inner' | 'crumb' | 'flat' | 'sheet';

export interface Shell {
  readonly role: ShellRole;
  readonly triangles: number;
  /** Signed as in the file: negative when it faces inward. Of a sheet: of the cones from its middle to its triangles. */
  readonly volumeMm3: number;
  readonly areaMm2: number;
  readonly minMm: Vec3;
  readonly maxMm: Vec3;
  /** The shell that this one lies in directly, or NONE. */
  readonly parent: number;
  /** The shell has to be turned round to bound what its role says. */
  readonly turn: boolean;
}

export interface Shells {
  readonly shells: readonly Shell[];
  readonly shellOfTri: Int32Array;
}

export const SHELL_LIMITS = {
  /** A closed shell whose box is smaller than this share of the whole diagonal is a crumb, unless it is all there is. */
  crumbShare: 0.004,
  /** A closed shell is flat when twice its volume over its area, its mean thickness, is under this share of its own diagonal. */
  flatShare: 1e-6,
} as const;

/** Judges every shell (triangles joined over edges) of a mesh whose edges have one or two faces that run opposite ways.
 *  A shell that no other encloses bounds a solid whatever way it faces; one inside it is a cavity when it faces against its
 *  parent, and a solid that adds nothing when it faces alike. Space: that of the mesh. Cost: O(n) and, for shells within the box
 *  of others, three winding numbers a pair. Method: signed volume and nesting; docs/methods/shells.md.
 *  Weak: shells that cross are told from nested ones by three points of the inner one. */
export function judgeShells(mesh: Mesh, work: Work): Shells {
  const check = surfaceCheck(mesh);
  const { shellOfTri, shells: count } = check;
  const measured = measureShells(mesh, shellOfTri, count);
  const parents = insideOf(mesh, { shellOfTri, measured }, work);
  const whole = diagonal(bound(measured, 'minMm', Math.min), bound(measured, 'maxMm', Math.max));
  const turned = new Uint8Array(count);
  const roles: ShellRole[] = [];
  // Outer shells first, so that a parent is judged before what it holds.
  for (const s of orderOutsideIn(parents)) {
    const shell = measured[s]!;
    const parent = parents[s]!;
    roles[s] = ownRole(shell, whole, count);
    if (roles[s] === 'sheet') turned[s] = shell.volumeMm3 < 0 ? 1 : 0;
    if (roles[s] !== 'solid') continue;
    if (parent === NONE) turned[s] = shell.volumeMm3 < 0 ? 1 : 0;
    else {
      // Everything in a shell that was turned is turned with it: such a file faces inward as a whole.
      const facing = shell.volumeMm3 * (turned[outermost(parents, s)] === 1 ? -1 : 1);
      turned[s] = turned[outermost(parents, s)]!;
      const inCavity = roles[parent] === 'cavity';
      if (inCavity) turned[s] = shell.volumeMm3 < 0 ? 1 : 0;
      else roles[s] = facing < 0 ? 'cavity' : 'inner';
    }
  }
  return {
    shellOfTri,
    shells: measured.map((shell, s) => ({ ...shell, role: roles[s]!, parent: parents[s]!, turn: turned[s] === 1 })),
  };
}

/** Leaves out crumbs, flat shells and solids within solids, and turns what faces the wrong way. The step counts shells. */
export function tidyShells(mesh: Mesh, { shells, shellOfTri }: Shells): { mesh: Mesh; steps: readonly MendStep[] } {
  const drop = shells.map(({ role }) => role === 'crumb' || role === 'flat');
  const turn = shells.map((shell, s) => shell.turn && !drop[s]);
  if (!drop.includes(true) && !turn.includes(true)) return { mesh, steps: [] };
  const { triangles } = mesh;
  const out = new Uint32Array(triangles.length);
  let kept = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const shell = shellOfTri[t / 3]!;
    if (drop[shell]) continue;
    const flip = turn[shell] ? 1 : 0;
    out[kept] = triangles[t]!;
    out[kept + 1] = triangles[t + 1 + flip]!;
    out[kept + 2] = triangles[t + 2 - flip]!;
    kept += 3;
  }
  const steps: MendStep[] = [];
  const crumbs = shells.filter((_, s) => drop[s]);
  if (crumbs.length > 0) steps.push(stepOf('crumbs-removed', crumbs));
  const around = shells.filter((_, s) => turn[s]);
  if (around.length > 0) steps.push({ ...stepOf('shells-turned', around), largestMm: null });
  return { mesh: compactMesh(meshOf(mesh.positions, out.slice(0, kept))), steps };
}

/** The triangles of one group of shells, with only the vertices they use. */
export function partOfShells(mesh: Mesh, { shellOfTri }: Shells, wanted: ReadonlySet<number>): Mesh {
  const { triangles } = mesh;
  const out = new Uint32Array(triangles.length);
  let kept = 0;
  for (let tri = 0; tri < shellOfTri.length; tri++) {
    if (!wanted.has(shellOfTri[tri]!)) continue;
    for (let h = 3 * tri; h < 3 * tri + 3; h++) out[kept++] = triangles[h]!;
  }
  return compactMesh(meshOf(mesh.positions, out.slice(0, kept)));
}

function ownRole(shell: MeasuredShell, wholeMm: number, count: number): ShellRole {
  if (!shell.closed) return 'sheet';
  const size = diagonal(shell.minMm, shell.maxMm);
  if (2 * Math.abs(shell.volumeMm3) <= SHELL_LIMITS.flatShare * size * shell.areaMm2) return 'flat';
  return count > 1 && size < SHELL_LIMITS.crumbShare * wholeMm ? 'crumb' : 'solid';
}

function outermost(parents: Int32Array, shell: number): number {
  let at = shell;
  while (parents[at] !== NONE) at = parents[at]!;
  return at;
}

function orderOutsideIn(parents: Int32Array): readonly number[] {
  const depth = Array.from(parents, (_, shell) => {
    let steps = 0;
    for (let at = parents[shell]!; at !== NONE; at = parents[at]!) steps++;
    return steps;
  });
  return Array.from(depth.keys()).sort((a, b) => depth[a]! - depth[b]!);
}

function stepOf(kind: MendStep['kind'], shells: readonly Shell[]): MendStep {
  const largest = shells.reduce((most, shell) =>
    diagonal(shell.minMm, shell.maxMm) > diagonal(most.minMm, most.maxMm) ? shell : most,
  );
  const [x, y, z] = largest.minMm;
  const [X, Y, Z] = largest.maxMm;
  return {
    kind,
    count: shells.length,
    largestMm: diagonal(largest.minMm, largest.maxMm),
    atMm: [(x + X) / 2, (y + Y) / 2, (z + Z) / 2],
  };
}

function bound(
  shells: readonly MeasuredShell[],
  side: 'minMm' | 'maxMm',
  pick: (a: number, b: number) => number,
): Vec3 {
  return shells.map((shell) => shell[side]).reduce(([a, b, c], [x, y, z]) => [pick(a, x), pick(b, y), pick(c, z)]);
}

function diagonal(low: Vec3, high: Vec3): number {
  return Math.hypot(high[0] - low[0], high[1] - low[1], high[2] - low[2]);
}
