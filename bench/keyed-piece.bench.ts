// Giving a piece its keys: one operation in double precision with provenance, beside the kernel's plain union in single precision.
// npx tsx bench/keyed-piece.bench.ts [numTris]
import { splitByPlane } from '../src/geometry/plane-split.ts';
import { box } from '../src/mesh/builders.ts';
import { keyedPiece } from '../src/workshop/pieces/joints/keyed-piece.ts';
import { testKernel } from '../test/support/kernel.ts';
import { bumpyShell } from '../test/support/section-shapes.ts';

const kernel = await testKernel();
const split = splitByPlane(
  bumpyShell(Number(process.argv[2] ?? 400_000)),
  { normal: [0.48, 0.6, 0.64], offsetMm: 12.3 },
  { triangulate: kernel.triangulate },
);
if (!split.ok) throw new Error(split.why);
const piece = split.value.below;
const { positions, triangles } = piece.mesh;
const faces = [...piece.sourceTri.keys()].filter((tri) => piece.sourceTri[tri]! < 0);
const keys = Array.from({ length: 24 }, (_, i) => {
  const at = triangles[faces[Math.floor((faces.length * i) / 24)]! * 3]! * 3;
  const [x, y, z] = [positions[at]! + 0.013, positions[at + 1]! - 0.017, positions[at + 2]! + 0.011];
  return box([x - 2, y - 2, z - 2], [x + 2, y + 2, z + 2]);
});
const [add, cut] = [keys.slice(0, 12), keys.slice(12)];
const seconds = (run: () => void): number => {
  const from = performance.now();
  run();
  return (performance.now() - from) / 1000;
};
const best = (run: () => void): number => Math.min(...Array.from({ length: 4 }, () => seconds(run)));
const peer = best(() => kernel.unite([piece.mesh, ...add]));
const combined = best(() => kernel.combine(piece.mesh, add, cut));
const whole = best(() => {
  const made = keyedPiece(piece, kernel, { name: 'A', changes: [{ add, cut }] });
  if (!made.ok) throw new Error(made.why);
});
const line = (name: string, value: number): void =>
  console.log(name.padEnd(60), value.toFixed(3), 's', (value / peer).toFixed(2));
console.log(
  `${triangles.length / 3} triangles, 12 keys added and 12 cut; peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`,
);
line('peer: union of the additions alone, single precision', peer);
line('combine: additions and cuts, exact, with sources', combined);
line('keyed piece: tidied and checked against crossings as well', whole);
