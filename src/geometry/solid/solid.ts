// The one door to the solid kernel (manifold-3d, C++ compiled to WebAssembly). Nothing else imports that package's calls.
// The kernel is loaded by whoever runs the engine (a worker thread, a browser worker, a test) and handed in through work.
import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Work } from '../../base/work.ts';
import { type Mesh, meshOf, type Vec3 } from '../../mesh/mesh.ts';
import { compactMesh } from '../../mesh/weld.ts';
import { exactSolid, readExactly } from './exact-solid.ts';

/** What the engine asks of the solid kernel. Every call is synchronous, deterministic, and frees what it used. */
export interface SolidKernel {
  readonly version: string;
  /** Triangulates polygons with holes in the plane. loops: each 2 x n numbers, outer counter-clockwise, holes clockwise;
   *  every vertex is kept, also collinear ones, so that edges match the neighbours. Returns 3 x m indices into the
   *  concatenated loops. */
  triangulate(loops: readonly Float64Array[], epsilonMm: number): Uint32Array;
  /** Convex hull of points (n x 3). Positions come back in single precision (1e-7 of their size): good for directions and
   *  resting faces, not as a surface to print. */
  hull(points: Float64Array): Mesh;
  /** The solid that all the given closed solids cover together. Each: every edge in two triangles that run opposite ways, facing
   *  outward; crossings between them are what it is for, crossings of one with itself stay as they are. Positions come back in
   *  single precision (1e-7 of their size). Throws when a mesh is no such solid. */
  unite(solids: readonly Mesh[]): Mesh;
  /** The base and all that is added, less all that is cut, in one operation and in double precision: vertices of the inputs that are
   *  still there have their very coordinates. Each input: as for `unite`. Throws when a mesh is no such solid.
   *  Cost: about 1 s per 100 000 triangles. Method: docs/methods/solid-kernel.md. */
  combine(base: Mesh, add: readonly Mesh[], cut: readonly Mesh[]): Combined;
}

/** What came of combining solids; triangles in the order of where they are from. */
export interface Combined {
  readonly mesh: Mesh;
  /** numTris: which solid the triangle came from: 0 the base, then those added, then those cut, in their order. */
  readonly from: Uint32Array;
  /** numTris: its triangle there. Triangles of what was cut are turned round. */
  readonly fromTri: Uint32Array;
}

/** Work that may call the kernel. */
export interface SolidWork extends Work {
  readonly solid: SolidKernel;
}

/** Largest memory the kernel can address with room to spare (it hangs near 4096 MB). */
export const KERNEL_LIMIT_MB = 3000;

/** Peak memory of one kernel operation on a solid of that many triangles: about 1 kB each, measured. */
export function memoryEstimateMb(numTris: number): number {
  return (numTris * 1024) / (1024 * 1024);
}

/** Runs a call into the kernel on about `numTris` triangles. Refuses: SOLID_TOO_LARGE (by estimate, before the call),
 *  SOLID_FAILED (the kernel threw). A call that never returns is the business of whoever runs the engine. */
export function callKernel<T>(numTris: number, call: () => T): Outcome<T> {
  const needMb = memoryEstimateMb(numTris);
  if (needMb > KERNEL_LIMIT_MB)
    return refuse(
      'SOLID_TOO_LARGE',
      `The operation on ${numTris} triangles would need about ${Math.round(needMb)} MB; the limit is ${KERNEL_LIMIT_MB} MB.`,
    );
  try {
    return done(call());
  } catch (error) {
    return refuse(
      'SOLID_FAILED',
      `The solid kernel failed: ${error instanceof Error ? error.message : String(error)}.`,
    );
  }
}

export function openSolidKernel(module: ManifoldToplevel, version: string): SolidKernel {
  return {
    version,
    triangulate(loops, epsilonMm) {
      const polygons = loops.map((loop) => {
        const out: [number, number][] = [];
        for (let i = 0; i < loop.length; i += 2) out.push([loop[i]!, loop[i + 1]!]);
        return out;
      });
      const tris = module.triangulate(polygons, epsilonMm);
      const out = new Uint32Array(tris.length * 3);
      for (let t = 0; t < tris.length; t++) out.set(tris[t]!, t * 3);
      return out;
    },
    hull(points) {
      const list: Vec3[] = [];
      for (let i = 0; i < points.length; i += 3) list.push([points[i]!, points[i + 1]!, points[i + 2]!]);
      const solid = module.Manifold.hull(list as [number, number, number][]);
      const mesh = readAndDelete(solid);
      const positions = new Float64Array(mesh.numVert * 3);
      for (let v = 0; v < mesh.numVert; v++)
        for (let c = 0; c < 3; c++) positions[v * 3 + c] = mesh.vertProperties[v * mesh.numProp + c]!;
      return meshOf(positions, Uint32Array.from(mesh.triVerts));
    },
    combine(base, add, cut) {
      const made: Manifold[] = [];
      const keep = (solid: Manifold): Manifold => {
        made.push(solid);
        return solid;
      };
      try {
        const inputs = [base, ...add, ...cut];
        const firstId = module.Manifold.reserveIDs(inputs.length);
        const solids = inputs.map((mesh, i) => keep(exactSolid(module, mesh, firstId + i)));
        const grown = keep(module.Manifold.union(solids.slice(0, 1 + add.length)));
        const { mesh, solidId, solidTri } = readExactly(
          cut.length === 0 ? grown : keep(module.Manifold.difference([grown, ...solids.slice(1 + add.length)])),
        );
        return { mesh, from: solidId.map((id) => id - firstId), fromTri: solidTri };
      } finally {
        for (const solid of made) solid.delete();
      }
    },
    unite(solids) {
      const parts: Manifold[] = [];
      try {
        for (const solid of solids) parts.push(new module.Manifold(kernelMesh(module, solid)));
        return weldedMesh(readAndDelete(module.Manifold.union(parts)));
      } finally {
        for (const part of parts) part.delete();
      }
    },
  };
}

function kernelMesh(module: ManifoldToplevel, mesh: Mesh): InstanceType<ManifoldToplevel['Mesh']> {
  return new module.Mesh({
    numProp: 3,
    vertProperties: Float32Array.from(mesh.positions),
    triVerts: mesh.triangles,
  });
}

/** The kernel doubles vertices where properties part; what it says belongs together is one vertex here. */
function weldedMesh(mesh: ReturnType<Manifold['getMesh']>): Mesh {
  const vertOf = Uint32Array.from({ length: mesh.numVert }, (_, v) => v);
  const { mergeFromVert: from, mergeToVert: to } = mesh;
  if (from !== undefined && to !== undefined) for (let i = 0; i < from.length; i++) vertOf[from[i]!] = to[i]!;
  const positions = new Float64Array(mesh.numVert * 3);
  for (let v = 0; v < mesh.numVert; v++)
    for (let c = 0; c < 3; c++) positions[v * 3 + c] = mesh.vertProperties[v * mesh.numProp + c]!;
  return compactMesh(
    meshOf(
      positions,
      mesh.triVerts.map((v) => vertOf[v]!),
    ),
  );
}

function readAndDelete(solid: Manifold): ReturnType<Manifold['getMesh']> {
  try {
    return solid.getMesh();
  } finally {
    solid.delete();
  }
}
