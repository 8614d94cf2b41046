// The wall of a bowl by ball and cone, and by the normal ray beside three-mesh-bvh: same mesh, answers compared, in one run.
// Seconds are processor seconds of this process.
import { BufferAttribute, BufferGeometry, DoubleSide, Ray } from 'three';
import { MeshBVH, SAH } from 'three-mesh-bvh';
import { areaPercentiles } from '../src/geometry/wall/area-percentiles.ts';
import { normalRayThickness } from '../src/geometry/wall/normal-ray-thickness.ts';
import { type WallThickness, wallThickness } from '../src/geometry/wall/wall-thickness.ts';
import { buildBoundingTree } from '../src/mesh/bounding-tree.ts';
import { bowl } from '../src/mesh/builders.ts';
import { areaNormals } from '../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris } from '../src/mesh/mesh.ts';

const WALL_MM = 3;
const START_MM = 1e-3;
const SHARES = [0, 0.01, 0.05, 0.5, 0.95, 0.99, 1];

for (const rings of [112, 250]) compare(inSingles(bowl({ outerMm: 130, wallMm: WALL_MM }, rings)));

function compare(mesh: Mesh): void {
  console.log(`bowl of 130 mm, wall ${WALL_MM} mm, ${numTris(mesh)} triangles`);
  const tree = buildBoundingTree(mesh);
  const peer = peerTree(mesh);
  const wall = timed('ball and cone', () => wallThickness(mesh, tree));
  const ours = timed('normal ray, ours', () => normalRayThickness(mesh, tree));
  const theirs = timed('normal ray, peer', () => peerThickness(mesh, peer));
  console.log(`  ratio of the normal rays, peer to ours: ${(theirs.seconds / ours.seconds).toFixed(2)}`);
  console.log(
    `  largest difference of the normal rays: ${worst(ours.value.perTriMm, theirs.value).toExponential(1)} mm`,
  );
  console.log(`  shares of the area ${SHARES.join(' ')}`);
  for (const key of ['perTriMm', 'ballMm', 'coneMm'] as const) console.log(`    ${key}: ${shares(wall.value, key)}`);
  console.log(`    normal ray: ${shares({ ...wall.value, perTriMm: ours.value.perTriMm }, 'perTriMm')}`);
  console.log(`  peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
}

function shares(wall: WallThickness, key: 'perTriMm' | 'ballMm' | 'coneMm'): string {
  return areaPercentiles({ perTriMm: wall[key], areaMm2: wall.areaMm2 }, SHARES)
    .map((mm) => mm.toFixed(3))
    .join(' ');
}

function timed<T>(what: string, run: () => T): { value: T; seconds: number } {
  const before = process.cpuUsage();
  const value = run();
  const { user, system } = process.cpuUsage(before);
  const seconds = (user + system) / 1e6;
  console.log(`  ${what}: ${seconds.toFixed(2)} s`);
  return { value, seconds };
}

function peerTree(mesh: Mesh): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(mesh.positions), 3));
  geometry.setIndex(new BufferAttribute(mesh.triangles.slice(), 1));
  return new MeshBVH(geometry, { strategy: SAH, indirect: true });
}

/** The peer cannot leave a triangle out: the ray starts a thousandth of a millimetre inside the wall. */
function peerThickness(mesh: Mesh, tree: MeshBVH): Float32Array {
  const out = new Float32Array(numTris(mesh));
  const normals = areaNormals(mesh);
  const { positions: p, triangles: t } = mesh;
  const ray = new Ray();
  for (let tri = 0; tri < out.length; tri++) {
    const length = Math.hypot(normals[tri * 3]!, normals[tri * 3 + 1]!, normals[tri * 3 + 2]!);
    const n = [0, 1, 2].map((c) => -normals[tri * 3 + c]! / length) as [number, number, number];
    const at = [0, 1, 2].map(
      (c) =>
        (p[t[tri * 3]! * 3 + c]! + p[t[tri * 3 + 1]! * 3 + c]! + p[t[tri * 3 + 2]! * 3 + c]!) / 3 + START_MM * n[c]!,
    ) as [number, number, number];
    ray.origin.set(...at);
    ray.direction.set(...n);
    out[tri] = START_MM + (tree.raycastFirst(ray, DoubleSide)?.distance ?? Infinity);
  }
  return out;
}

/** The peer keeps positions in single precision. */
function inSingles(mesh: Mesh): Mesh {
  return meshOf(Float64Array.from(Float32Array.from(mesh.positions)), mesh.triangles);
}

function worst(a: Float32Array, b: Float32Array): number {
  let most = 0;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) most = Math.max(most, Math.abs(a[i]! - b[i]!));
  return most;
}
