// Rebuilding the demonstration helm and a ball with a hole, thickening half a ball: seconds, peak memory, deviation.
// npx tsx bench/rebuild.bench.ts   (no peer of this kind is installed)
import { rebuildMb, rebuildSurface } from '../src/geometry/mend/rebuild/rebuild.ts';
import { thickenSheet } from '../src/geometry/mend/rebuild/thicken-sheet.ts';
import { icoSphere } from '../src/mesh/builders.ts';
import { bounds, sizeOf } from '../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris } from '../src/mesh/mesh.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';

const peakMb = (): number => Math.round(process.resourceUsage().maxRSS / 1024);
const seconds = (run: () => void): number => {
  const before = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
};
const sized = (mesh: Mesh, longestMm: number): Mesh => {
  const scale = longestMm / Math.max(...sizeOf(bounds(mesh)));
  return meshOf(
    mesh.positions.map((x) => x * scale),
    mesh.triangles,
  );
};

function rebuild(name: string, mesh: Mesh, cellMm: number): void {
  const before = peakMb();
  const spent = seconds(() => {
    const outcome = rebuildSurface(mesh, { cellMm });
    if (!outcome.ok) throw new Error(outcome.why);
    const { deviation, crossings, mesh: made } = outcome.value;
    console.log(
      `${name}: ${numTris(mesh)} -> ${numTris(made)} triangles, at most ${deviation.maxMm.toFixed(3)} mm off, 99 percent ${deviation.p99Mm.toFixed(3)} mm, ${crossings} crossings`,
    );
  });
  console.log(
    `  ${spent.toFixed(1)} s, peak ${before} -> ${peakMb()} MB, estimated ${rebuildMb(mesh, cellMm).toFixed(0)} MB`,
  );
}

const ball = icoSphere(150, 6);
rebuild('ball of 300 mm', ball, 1.5);
rebuild('the same with a hole', meshOf(ball.positions, ball.triangles.slice(3 * 8000)), 1.5);
rebuild('helm of 300 mm', sized(demoModel('keepers-helm', { triangles: 200_000 }), 300), 1);
const half = meshOf(
  ball.positions,
  ball.triangles.filter((_, h) => {
    const t = h - (h % 3);
    return [0, 1, 2].every((c) => ball.positions[ball.triangles[t + c]! * 3 + 2]! >= 0);
  }),
);
const spent = seconds(() => {
  const outcome = thickenSheet(half, { wallMm: 3, cellMm: 1 });
  if (!outcome.ok) throw new Error(outcome.why);
  const { deviation, mesh } = outcome.value;
  console.log(`half ball with a wall: ${numTris(mesh)} triangles, sheet at most ${deviation.maxMm.toFixed(3)} mm off`);
});
console.log(`  ${spent.toFixed(1)} s, peak ${peakMb()} MB`);
