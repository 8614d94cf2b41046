// Rays and closest points beside three-mesh-bvh: same mesh, same rays, answers compared, in one run.
// Seconds are processor seconds of this process, the best of three turns taken alternately.
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three';
import { CENTER, MeshBVH, SAH } from 'three-mesh-bvh';
import { randomStream } from '../src/base/random.ts';
import { buildBoundingTree } from '../src/mesh/bounding-tree.ts';
import { uvSphere } from '../src/mesh/builders.ts';
import { closestPoints } from '../src/mesh/closest-point.ts';
import { type Mesh, meshOf, numTris } from '../src/mesh/mesh.ts';
import { raycastMany } from '../src/mesh/ray.ts';

const RADIUS_MM = 130;
const NUM = 200_000;

for (const rings of [224, 500]) compare(inSingles(uvSphere(RADIUS_MM, rings)));

function compare(mesh: Mesh): void {
  console.log(
    `UV sphere R=${RADIUS_MM}, ${numTris(mesh)} triangles, ${NUM} rays from inside, ${NUM} points within 5 mm`,
  );
  const rays = raysInside();
  const points = pointsNear();
  const ourRays = { tri: new Int32Array(NUM), t: new Float64Array(NUM) };
  const ourPoints = { tri: new Int32Array(NUM), distanceMm: new Float64Array(NUM) };
  const peerRays = new Float64Array(NUM);
  const peerPoints = new Float64Array(NUM);
  const tree = buildBoundingTree(mesh);
  const center = peerTree(mesh, CENTER);
  const sah = peerTree(mesh, SAH);
  const [build, buildCenter, buildSah] = best([
    () => buildBoundingTree(mesh),
    () => peerTree(mesh, CENTER),
    () => peerTree(mesh, SAH),
  ]);
  const [cast, castCenter, castSah] = best([
    () => raycastMany(tree, rays, ourRays),
    () => peerCast(center, rays, peerRays),
    () => peerCast(sah, rays, peerRays),
  ]);
  const [near, nearCenter, nearSah] = best([
    () => closestPoints(tree, points, ourPoints),
    () => peerClosest(center, points, peerPoints),
    () => peerClosest(sah, points, peerPoints),
  ]);
  report('build', 's', [build!, buildCenter!, buildSah!]);
  report('rays', '/s', [NUM / cast!, NUM / castCenter!, NUM / castSah!]);
  report('closest points', '/s', [NUM / near!, NUM / nearCenter!, NUM / nearSah!]);
  console.log(
    `  largest difference: ${worst(ourRays.t, peerRays)} mm along rays, ${worst(ourPoints.distanceMm, peerPoints)} mm to points`,
  );
  console.log(`  peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
}

function report(what: string, unit: string, [ours, center, sah]: [number, number, number]): void {
  const show = (v: number): string => (unit === 's' ? v.toFixed(2) : Math.round(v).toString());
  const ratio = (peer: number): string => (unit === 's' ? peer / ours : ours / peer).toFixed(2);
  console.log(
    `  ${what}: ours ${show(ours)} ${unit}, peer by centre ${show(center)} (ratio ${ratio(center)}), peer by surface ${show(sah)} (ratio ${ratio(sah)})`,
  );
}

/** Seconds of each, the least of three turns. */
function best(runs: readonly (() => void)[]): number[] {
  const least = runs.map(() => Infinity);
  for (let turn = 0; turn < 3; turn++) {
    runs.forEach((run, i) => {
      const before = process.cpuUsage();
      run();
      const { user, system } = process.cpuUsage(before);
      least[i] = Math.min(least[i]!, (user + system) / 1e6);
    });
  }
  return least;
}

function peerTree(mesh: Mesh, strategy: typeof CENTER | typeof SAH): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(mesh.positions), 3));
  geometry.setIndex(new BufferAttribute(mesh.triangles.slice(), 1));
  return new MeshBVH(geometry, { strategy });
}

function peerCast(tree: MeshBVH, rays: Float64Array, out: Float64Array): void {
  const ray = new Ray();
  for (let i = 0; i < out.length; i++) {
    ray.origin.set(rays[i * 6]!, rays[i * 6 + 1]!, rays[i * 6 + 2]!);
    ray.direction.set(rays[i * 6 + 3]!, rays[i * 6 + 4]!, rays[i * 6 + 5]!);
    out[i] = tree.raycastFirst(ray, DoubleSide)?.distance ?? Infinity;
  }
}

function peerClosest(tree: MeshBVH, points: Float64Array, out: Float64Array): void {
  const point = new Vector3();
  const target = { point: new Vector3(), distance: 0, faceIndex: 0 };
  for (let i = 0; i < out.length; i++) {
    point.set(points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!);
    out[i] = tree.closestPointToPoint(point, target)?.distance ?? Infinity;
  }
}

function raysInside(): Float64Array {
  const random = randomStream(1);
  const rays = new Float64Array(NUM * 6);
  for (let i = 0; i < NUM; i++) {
    writeDirection(random, rays, i * 6, RADIUS_MM * 0.98 * Math.cbrt(random()));
    writeDirection(random, rays, i * 6 + 3, 1);
  }
  return rays;
}

function pointsNear(): Float64Array {
  const random = randomStream(2);
  const points = new Float64Array(NUM * 3);
  for (let i = 0; i < NUM; i++) writeDirection(random, points, i * 3, RADIUS_MM + 10 * random() - 5);
  return points;
}

function writeDirection(random: () => number, out: Float64Array, at: number, length: number): void {
  const z = 2 * random() - 1;
  const angle = 2 * Math.PI * random();
  const r = Math.sqrt(1 - z * z);
  out[at] = length * r * Math.cos(angle);
  out[at + 1] = length * r * Math.sin(angle);
  out[at + 2] = length * z;
}

/** The peer keeps positions in single precision. */
function inSingles(mesh: Mesh): Mesh {
  return meshOf(Float64Array.from(Float32Array.from(mesh.positions)), mesh.triangles);
}

function worst(a: Float64Array, b: Float64Array): string {
  let most = 0;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) most = Math.max(most, Math.abs(a[i]! - b[i]!));
  return most.toExponential(1);
}
