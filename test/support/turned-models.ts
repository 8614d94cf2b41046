// Models turned at random, and the verdict on how they were levelled again.
import { randomStream } from '../../src/base/random.ts';
import { angleDeg } from '../../src/geometry/three-by-three.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { memoryMeshStore } from '../../src/mesh/memory-mesh-store.ts';
import type { Mesh, Vec3 } from '../../src/mesh/mesh.ts';
import { type Transform, transformMesh, turnVector } from '../../src/mesh/transform.ts';
import { findLevel } from '../../src/workshop/model/level.ts';
import { lookForClues } from '../../src/workshop/model/model.ts';
import type { ChapterWork } from '../../src/workshop/process/chapter-work.ts';
import { testKernel } from './kernel.ts';

export interface Verdicts {
  right: number;
  wrong: number;
  unsure: number;
  /** Of the unsure ones, how many were right all the same. */
  unsureButRight: number;
  /** Largest error of up among the right ones, degrees. */
  worstDeg: number;
}

/** A turn that is uniform over all orientations (Shoemake's quaternions) and a shift of up to half a metre. */
export function randomMotion(random: () => number): Transform {
  const [u, a, b] = [random(), 2 * Math.PI * random(), 2 * Math.PI * random()];
  const x = Math.sqrt(1 - u) * Math.sin(a);
  const y = Math.sqrt(1 - u) * Math.cos(a);
  const z = Math.sqrt(u) * Math.sin(b);
  const w = Math.sqrt(u) * Math.cos(b);
  const shift = [0, 1, 2].map(() => 1000 * (random() - 0.5));
  return [
    1 - 2 * (y * y + z * z),
    2 * (x * y + z * w),
    2 * (x * z - y * w),
    2 * (x * y - z * w),
    1 - 2 * (x * x + z * z),
    2 * (y * z + x * w),
    2 * (x * z + y * w),
    2 * (y * z - x * w),
    1 - 2 * (x * x + y * y),
    ...shift,
  ];
}

export async function testWork(seed: number): Promise<ChapterWork> {
  return { tick: () => {}, seed, solid: await testKernel(), meshes: memoryMeshStore() };
}

/** Levels `turns` turned copies; right means up and front both within 20 degrees of the truth. */
export async function levelTurned(
  mesh: Mesh,
  truth: { readonly up: Vec3; readonly front: Vec3 },
  how: { readonly turns: number; readonly seed: number },
): Promise<Verdicts> {
  const random = randomStream(how.seed);
  const verdicts: Verdicts = { right: 0, wrong: 0, unsure: 0, unsureButRight: 0, worstDeg: 0 };
  for (let turn = 0; turn < how.turns; turn++) {
    const motion = randomMotion(random);
    const turned = transformMesh(motion, mesh);
    const clues = lookForClues(turned, buildBoundingTree(turned), await testWork(how.seed + turn));
    const level = findLevel(clues, {});
    if (!level.ok) throw new Error(level.why);
    const { up, front } = level.value;
    const upDeg = angleDeg(up.way, turnVector(motion, truth.up));
    const right = upDeg < 20 && angleDeg(front.way, turnVector(motion, truth.front)) < 20;
    if (up.confidence === 'unsure' || front.confidence === 'unsure') {
      verdicts.unsure++;
      if (right) verdicts.unsureButRight++;
    } else if (right) {
      verdicts.right++;
      verdicts.worstDeg = Math.max(verdicts.worstDeg, upDeg);
    } else verdicts.wrong++;
  }
  return verdicts;
}

export function confusion(name: string, v: Verdicts): string {
  return `${name}: right ${v.right}, wrong ${v.wrong}, unsure ${v.unsure} (of those right ${v.unsureButRight}), worst of the right ${v.worstDeg.toFixed(1)} deg`;
}
