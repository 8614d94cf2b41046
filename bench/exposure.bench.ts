// Exposure of the samples of a shell beside the same rays cast by three-mesh-bvh: same points, same number of rays, means compared, in one
// run. Then what the Pieces chapter takes of it: samples, view, price. Seconds are processor seconds, the best of three turns taken
// alternately.   npx tsx bench/exposure.bench.ts
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three';
import { MeshBVH, SAH } from 'three-mesh-bvh';
import { randomStream } from '../src/base/random.ts';
import { QUIET_WORK } from '../src/base/work.ts';
import { concaveCreases } from '../src/geometry/concave-creases.ts';
import { exposure } from '../src/geometry/exposure.ts';
import { type PatchPoints, patchPoints } from '../src/geometry/patch-points.ts';
import { planeFrame } from '../src/geometry/plane.ts';
import { surfaceSamples } from '../src/geometry/surface-patches.ts';
import { buildBoundingTree } from '../src/mesh/bounding-tree.ts';
import { type Mesh, meshOf, numTris, type Vec3 } from '../src/mesh/mesh.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { outsideView } from '../src/workshop/pieces/price/outside-view.ts';
import { seamPrice } from '../src/workshop/pieces/price/seam-price.ts';

const NUM_RAYS = 10;
const LIFT_MM = 0.1;

for (const triangles of [200_000, 1_000_000]) compare(inSingles(demoModel('keepers-helm', { triangles })));

function compare(mesh: Mesh): void {
  const samples = surfaceSamples(mesh, QUIET_WORK);
  const at = patchPoints(mesh, samples, 4, 1);
  const numRays = (at.points.length / 3) * NUM_RAYS;
  console.log(`the helm at ${numTris(mesh)} triangles: ${samples.num} samples, ${numRays} rays`);
  const tree = buildBoundingTree(mesh);
  const peerTree = peerOf(mesh);
  const looks = { numRays: NUM_RAYS, liftMm: LIFT_MM, weights: [] };
  let ours = 0;
  let theirs = 0;
  const [build, peerBuild] = best([() => buildBoundingTree(mesh), () => peerOf(mesh)]);
  const [cast, peerCast] = best([
    () => {
      ours = meanOf(exposure(tree, at, QUIET_WORK, looks).open);
    },
    () => {
      theirs = peerExposure(peerTree, at);
    },
  ]);
  report('tree', 's', build!, peerBuild!);
  report('rays', '/s', numRays / cast!, numRays / peerCast!);
  const error = Math.sqrt((ours * (1 - ours) * 2) / numRays);
  console.log(
    `  mean openness: ours ${ours.toFixed(4)}, peer ${theirs.toFixed(4)}, standard error ${error.toFixed(4)}`,
  );
  const view = outsideView(mesh, samples, QUIET_WORK);
  const [sampled, viewed, creased, priced] = best([
    () => surfaceSamples(mesh, QUIET_WORK),
    () => outsideView(mesh, samples, QUIET_WORK),
    () => concaveCreases(mesh, QUIET_WORK),
    () => seamPrice(mesh, { samples, view }, 0.08, QUIET_WORK),
  ]);
  console.log(
    `  samples ${sampled!.toFixed(2)} s, view with its tree ${viewed!.toFixed(2)} s, price ${priced!.toFixed(2)} s (creases ${creased!.toFixed(2)} s of it)`,
  );
  console.log(`  peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
}

function report(what: string, unit: string, ours: number, peer: number): void {
  const show = (v: number): string => (unit === 's' ? v.toFixed(2) : Math.round(v).toString());
  const ratio = unit === 's' ? peer / ours : ours / peer;
  console.log(`  ${what}: ours ${show(ours)} ${unit}, peer ${show(peer)} ${unit} (ratio ${ratio.toFixed(2)})`);
}

/** Seconds of each, the least of three turns. */
function best(runs: readonly (() => unknown)[]): number[] {
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

function meanOf(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function peerOf(mesh: Mesh): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(mesh.positions), 3));
  geometry.setIndex(new BufferAttribute(mesh.triangles.slice(), 1));
  return new MeshBVH(geometry, { strategy: SAH });
}

/** Mean openness, by cosine-weighted rays spread as ours are. */
function peerExposure(tree: MeshBVH, { points, normals }: PatchPoints): number {
  const ray = new Ray();
  const random = randomStream(2);
  let free = 0;
  for (let o = 0; o < points.length; o += 3) {
    const n: Vec3 = [normals[o]!, normals[o + 1]!, normals[o + 2]!];
    const { u, v } = planeFrame(n);
    const [shift, turn] = [random(), random()];
    ray.origin.set(points[o]! + LIFT_MM * n[0], points[o + 1]! + LIFT_MM * n[1], points[o + 2]! + LIFT_MM * n[2]);
    for (let k = 0; k < NUM_RAYS; k++) {
      const r2 = (k + shift) / NUM_RAYS;
      const angle = 2 * Math.PI * (k * 0.6180339887498949 + turn);
      const [a, b, out] = [Math.sqrt(r2) * Math.cos(angle), Math.sqrt(r2) * Math.sin(angle), Math.sqrt(1 - r2)];
      ray.direction.copy(
        new Vector3(
          a * u[0] + b * v[0] + out * n[0],
          a * u[1] + b * v[1] + out * n[1],
          a * u[2] + b * v[2] + out * n[2],
        ),
      );
      if (tree.raycastFirst(ray, DoubleSide) === null) free++;
    }
  }
  return free / ((points.length / 3) * NUM_RAYS);
}

/** The peer keeps positions in single precision. */
function inSingles(mesh: Mesh): Mesh {
  return meshOf(Float64Array.from(Float32Array.from(mesh.positions)), mesh.triangles);
}
