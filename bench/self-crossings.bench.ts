// Self-crossings of a million triangles beside a general-purpose tree's search of itself, in one run.
// Seconds are processor seconds of this process, the best of two turns.
import { BufferAttribute, BufferGeometry, Matrix4 } from 'three';
import { MeshBVH, SAH } from 'three-mesh-bvh';
import { QUIET_WORK } from '../src/base/work.ts';
import { selfCrossings } from '../src/geometry/crossings/self-crossings.ts';
import { uncross } from '../src/geometry/mend/uncross/uncross.ts';
import { together, uvSphere } from '../src/mesh/builders.ts';
import { type Mesh, meshOf, numTris } from '../src/mesh/mesh.ts';

const RADIUS_MM = 130;
const half = uvSphere(RADIUS_MM, 354);
const aside = meshOf(
  half.positions.map((x, i) => x + [60.1, 0.37, 0.71][i % 3]!),
  half.triangles,
);
compare('one sphere', uvSphere(RADIUS_MM, 500));
const crossing = together([half, aside]);
compare('two spheres that cross', crossing);
const seconds = spent(() => {
  const { pairsBefore, pairsLeft } = uncross(crossing, QUIET_WORK);
  console.log(`uncrossed: ${pairsBefore} pairs to ${pairsLeft}`);
});
console.log(`  ${seconds.toFixed(2)} s, no peer in this run; peak ${peakMb()} MB`);

function compare(name: string, mesh: Mesh): void {
  const millions = numTris(mesh) / 1e6;
  let [ours, peer] = [Infinity, Infinity];
  let [pairs, peerPairs] = [0, 0];
  for (let turn = 0; turn < 2; turn++) {
    ours = Math.min(
      ours,
      spent(() => {
        pairs = selfCrossings(mesh).pairs;
      }),
    );
    peer = Math.min(
      peer,
      spent(() => {
        peerPairs = peerCrossings(mesh);
      }),
    );
  }
  console.log(`${name}, ${numTris(mesh)} triangles: ${pairs} pairs, peer ${peerPairs} (in floating point)`);
  console.log(
    `  ours ${(ours / millions).toFixed(2)} s per million, peer ${(peer / millions).toFixed(2)} s, ratio ${(peer / ours).toFixed(2)}; peak of both ${peakMb()} MB`,
  );
}

/** Pairs without a common corner that the peer's triangle test finds, building its tree included. It has no exact test and no
 *  notion of neighbours, so that pairs with a common corner are left out. */
function peerCrossings(mesh: Mesh): number {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(mesh.positions), 3));
  geometry.setIndex(new BufferAttribute(mesh.triangles.slice(), 1));
  const tree = new MeshBVH(geometry, { strategy: SAH });
  const index = geometry.index!.array;
  let pairs = 0;
  tree.bvhcast(tree, new Matrix4(), {
    intersectsTriangles: (one, two, i, j) => {
      if (i >= j) return false;
      for (let k = 0; k < 3; k++) for (let m = 0; m < 3; m++) if (index[3 * i + k] === index[3 * j + m]) return false;
      if (one.intersectsTriangle(two)) pairs++;
      return false;
    },
  });
  return pairs;
}

function spent(run: () => void): number {
  const before = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}

function peakMb(): number {
  return Math.round(process.resourceUsage().maxRSS / 1024);
}
