// Which shell lies inside which.
import type { Work } from '../../base/work.ts';
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { type Mesh, meshOf, NONE } from '../../mesh/mesh.ts';
import { compactMesh } from '../../mesh/weld.ts';
import { buildWindingTree, windingExact, windingFastMany } from '../winding/winding-number.ts';
import type { MeasuredShell } from './shell-measures.ts';

const SAMPLES = 3;
const SMALL_SHELL = 2000;

/** For each shell the smallest other closed shell that all of its samples lie in, or NONE. Cost: a tree over each
 *  shell whose box holds another's, and three winding numbers a pair. */
export function insideOf(
  mesh: Mesh,
  { shellOfTri, measured }: { readonly shellOfTri: Int32Array; readonly measured: readonly MeasuredShell[] },
  work: Work,
): Int32Array {
  const parents = new Int32Array(measured.length).fill(NONE);
  if (measured.length < 2) return parents;
  const lists = trianglesByShell(shellOfTri, measured);
  const bySize = Array.from(measured.keys()).sort((a, b) => volumeOfBox(measured[a]!) - volumeOfBox(measured[b]!));
  const asked: (ReturnType<typeof askShell> | undefined)[] = [];
  for (const [rank, inner] of bySize.entries()) {
    work.tick(rank / bySize.length, 'telling shells apart');
    const samples = samplesOf(mesh, lists[inner]!);
    for (const outer of bySize.slice(rank + 1)) {
      if (!measured[outer]!.closed || !boxHolds(measured[outer]!, measured[inner]!)) continue;
      asked[outer] ??= askShell(mesh, lists[outer]!);
      if (!asked[outer](samples).every((winding) => Math.abs(winding) > 0.5)) continue;
      parents[inner] = outer;
      break;
    }
  }
  return parents;
}

/** How to ask one shell about points: directly while it is small, else through a tree. */
function askShell(mesh: Mesh, list: Uint32Array): (points: Float64Array) => Float64Array {
  const part = compactMesh(meshOf(mesh.positions, trianglesOf(mesh, list)));
  if (list.length < SMALL_SHELL) return (points) => windingExact(part, points);
  const winding = buildWindingTree(buildBoundingTree(part));
  return (points) => windingFastMany(winding, points);
}

function trianglesOf({ triangles }: Mesh, list: Uint32Array): Uint32Array {
  const out = new Uint32Array(list.length * 3);
  for (let i = 0; i < list.length; i++) for (let c = 0; c < 3; c++) out[i * 3 + c] = triangles[list[i]! * 3 + c]!;
  return out;
}

function samplesOf({ positions: p, triangles: t }: Mesh, list: Uint32Array): Float64Array {
  const out = new Float64Array(SAMPLES * 3);
  for (let k = 0; k < SAMPLES; k++) {
    const v = t[list[Math.trunc((k * list.length) / SAMPLES)]! * 3 + (k % 3)]! * 3;
    out.set(p.subarray(v, v + 3), k * 3);
  }
  return out;
}

function trianglesByShell(shellOfTri: Int32Array, measured: readonly MeasuredShell[]): readonly Uint32Array[] {
  const lists = measured.map(({ triangles }) => new Uint32Array(triangles));
  const filled = new Uint32Array(measured.length);
  for (let tri = 0; tri < shellOfTri.length; tri++) {
    const s = shellOfTri[tri]!;
    lists[s]![filled[s]!] = tri;
    filled[s] = filled[s]! + 1;
  }
  return lists;
}

function boxHolds(outer: MeasuredShell, inner: MeasuredShell): boolean {
  return [0, 1, 2].every((k) => outer.minMm[k]! <= inner.minMm[k]! && outer.maxMm[k]! >= inner.maxMm[k]!);
}

function volumeOfBox({ minMm, maxMm }: MeasuredShell): number {
  return (maxMm[0] - minMm[0]) * (maxMm[1] - minMm[1]) * (maxMm[2] - minMm[2]);
}
