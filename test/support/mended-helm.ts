// A dome that came with holes, and the results of its first two chapters as if it had been mended: for tests of page and drawings.
import type { MendStep } from '../../src/geometry/mend/mend-step.ts';
import { bounds, sizeOf } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris, type Vec3 } from '../../src/mesh/mesh.ts';
import type { MeshStore } from '../../src/mesh/mesh-store.ts';
import { invertTransform, type Transform, transformMesh } from '../../src/mesh/transform.ts';
import type { BookResults } from '../../src/workshop/book/graph.ts';
import type { ModelRecord } from '../../src/workshop/process/model-record.ts';
import { QUICK_HELM, quickHelm } from './quick-helm.ts';

/** The file lies on its face, away from the middle: x' = x + 40, y' = -z, z' = y. */
export const FROM_FILE: Transform = [1, 0, 0, 0, 0, -1, 0, 1, 0, 40, 0, 0];
export const WORN_SCALE = 1.1;

export interface MendedHelm {
  readonly results: BookResults;
  readonly asRead: Mesh;
  readonly steps: readonly MendStep[];
}

/** Volume, wall and the like are invented; the meshes and the places of the steps are not. */
export function mendedHelm(meshes: MeshStore, scale = WORN_SCALE): MendedHelm {
  const whole = quickHelm({ rings: 40, around: 90 });
  const damaged = without(whole, HOLES);
  const asRead = transformMesh(invertTransform(FROM_FILE), damaged);
  const steps: MendStep[] = [
    { kind: 'vertices-joined', count: 12, largestMm: 0.0004, atMm: null },
    { kind: 'holes-filled', count: 3, largestMm: 161.5, atMm: HOLES[0]!.at },
    { kind: 'crossings-patched', count: 8, largestMm: 0.2, atMm: HOLES[2]!.at },
  ];
  const sizeMm = sizeOf(bounds(whole));
  const record: ModelRecord = {
    kind: 'model',
    version: 2,
    mesh: meshes.put(whole),
    fromFile: FROM_FILE,
    triangles: numTris(whole),
    closed: true,
    mended: { asRead: meshes.put(asRead), steps, deviation: null, cellMm: null },
    bodies: 1,
    volumeMm3: 5e5,
    areaMm2: 4e5,
    sizeMm,
    genus: 0,
    wallPerTriMm: new Float32Array(),
    wallMm: { p1: 3, p5: 3, p25: 3, p50: 3, p75: 3, p95: 3, p99: 3 },
    symmetry: null,
    up: { way: [0, 0, 1], confidence: 'sure', because: 'by the neck opening', others: [] },
    front: { way: [0, -1, 0], confidence: 'likely', because: 'by the longer half' },
    openings: [],
  };
  const worn = transformMesh([scale, 0, 0, 0, scale, 0, 0, 0, scale, 0, 0, 0], whole);
  const results: BookResults = {
    model: { state: 'computed', fingerprint: 'm', reused: false, record, findings: [] },
    wearer: {
      state: 'computed',
      fingerprint: 'w',
      reused: false,
      findings: [],
      record: {
        kind: 'wearer',
        version: 2,
        mesh: meshes.put(worn),
        scale,
        sizeMm: sizeOf(bounds(worn)),
        volumeMm3: 5e5,
        areaMm2: 4e5,
        wallMm: 3,
        wallKept: false,
        symmetry: null,
        girth: null,
      },
    },
    pieces: { state: 'waiting', fingerprint: 'p', on: 'wearer' },
    joints: { state: 'waiting', fingerprint: 'j', on: 'pieces' },
    printing: { state: 'waiting', fingerprint: 'r', on: 'pieces' },
    beds: { state: 'waiting', fingerprint: 'b', on: 'printing' },
    assembly: { state: 'waiting', fingerprint: 'a', on: 'pieces' },
    surface: { state: 'waiting', fingerprint: 's', on: 'pieces' },
  };
  return { results, asRead, steps };
}

/** On the outer wall: two in front, one at the back. Its rims are as ragged as the triangles are. */
const HOLES: readonly { readonly at: Vec3; readonly withinMm: number }[] = [
  { at: [63, -110, 30], withinMm: 24 },
  { at: [-20, -128, 55], withinMm: 13 },
  { at: [20, 133, 40], withinMm: 17 },
];

function without({ positions, triangles }: Mesh, holes: typeof HOLES): Mesh {
  const kept = triangles.filter((_, corner) => {
    const first = corner - (corner % 3);
    return !holes.some(({ at, withinMm }) =>
      [0, 1, 2].some((k) => {
        const v = triangles[first + k]! * 3;
        const away = [0, 1, 2].map((c) => positions[v + c]! - at[c]!);
        return outside(positions, v) && Math.hypot(...away) < withinMm;
      }),
    );
  });
  return meshOf(positions, kept);
}

/** On the outer of the two walls, 3 mm apart. */
function outside(positions: Float64Array, v: number): boolean {
  const share = (c: number): number => positions[v + c]! / (QUICK_HELM.radiiMm[c]! - QUICK_HELM.wallMm / 2);
  return Math.hypot(share(0), share(1), share(2)) > 1;
}
