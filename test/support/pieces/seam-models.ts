// The models on which divisions are compared, at life size, as the program levels and sizes them (worn space).
import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { readModel } from '../../../src/documents/read-model.ts';
import { simplifyClosed } from '../../../src/geometry/simplify.ts';
import { memoryMeshStore } from '../../../src/mesh/memory-mesh-store.ts';
import { type Mesh, numTris } from '../../../src/mesh/mesh.ts';
import { newBuild } from '../../../src/workshop/book/build-file.ts';
import { runBook } from '../../../src/workshop/book/graph.ts';
import { demoModel } from '../../../src/workshop/demo/demo.ts';
import type { ModelLevel } from '../../../src/workshop/model/model-settings.ts';
import { WearerSettings } from '../../../src/workshop/wearer/wearer.ts';
import { testKernel } from '../kernel.ts';

export type SeamModelName = 'helm' | 'shell' | 'skull' | 'tall skull' | 'boot' | 'mask' | 'goat' | 'bust';

const SHARED = '../shared';
interface OpenModel {
  /** Below the shared folder. */
  readonly file: string;
  /** Height at which it is worn or shown, mm. */
  readonly heightMm: number;
  /** As a maker sets it where levelling cannot know: file space. */
  readonly level?: ModelLevel;
}

/** The demo's helm is made on the spot. */
const FILES: Readonly<Record<Exclude<SeamModelName, 'helm' | 'shell'>, OpenModel>> = {
  skull: { file: 'meshes/skull/skull.obj', heightMm: 230 },
  'tall skull': { file: 'meshes/skull/skull.obj', heightMm: 300 },
  boot: { file: 'meshes/boot/boot.obj', heightMm: 280, level: { up: [0, 1, 0], front: [1, 0, 0] } },
  mask: { file: 'meshes/papr_large_mask/P-TET-000120-1 Large Mask.stl', heightMm: 200 },
  goat: { file: 'meshes/goat_head/goathead.obj', heightMm: 300, level: { up: [0, 1, 0], front: [-1, 0, 0] } },
  bust: {
    file: 'meshes/demosthenes_bust/demosthenes-low-res.obj',
    heightMm: 400,
    level: { up: [0, 1, 0], front: [0, 0, 1] },
  },
};

export const hasSharedMeshes = existsSync(`${SHARED}/meshes`);

export interface SeamModel {
  readonly name: SeamModelName;
  /** Worn space. */
  readonly mesh: Mesh;
  readonly symmetry: { readonly normal: readonly [number, number, number]; readonly offsetMm: number } | null;
}

/** About so many triangles: 50 or 200 thousand for helm and shell; the others come as they are, or simplified when they have more. */
export async function seamModel(name: SeamModelName, triangles: 50_000 | 200_000 = 50_000): Promise<SeamModel> {
  const { source, heightMm, level } = sourceOf(name, triangles);
  const meshes = memoryMeshStore();
  const size = heightMm === null ? { by: 'scale', scale: 1 } : { by: 'height', heightMm };
  const usual = newBuild({ name, file: name, sha256: createHash('sha256').update(name).digest('hex') });
  const build = { ...usual, model: { ...usual.model, level }, wearer: WearerSettings.parse({ size }) };
  const work = { ...QUIET_WORK, meshes, solid: await testKernel() };
  const results = runBook(build, { mesh: meshes.put(source) }, work, {
    results: { get: () => undefined, put: () => {} },
    hooks: { begun: () => {}, known: () => {} },
    last: 'wearer',
  });
  if (results.wearer.state !== 'computed')
    throw new Error(`${name} has no worn shell: ${JSON.stringify(results.model)}`);
  const worn = meshes.get(results.wearer.record.mesh);
  const most = 1.2 * triangles;
  const mesh = numTris(worn) > most ? simplifyClosed(worn, { triangles }, QUIET_WORK) : worn;
  return { name, mesh, symmetry: results.wearer.record.symmetry };
}

function sourceOf(
  name: SeamModelName,
  triangles: 50_000 | 200_000,
): { source: Mesh; heightMm: number | null; level: ModelLevel } {
  if (name === 'helm') return { source: demoModel('keepers-helm', { triangles }), heightMm: null, level: {} };
  if (name === 'shell') return { source: read(`reference/shell-${triangles / 1000}k.stl`), heightMm: null, level: {} };
  const { file, heightMm, level = {} } = FILES[name];
  return { source: read(file), heightMm, level };
}

function read(file: string): Mesh {
  const outcome = readModel(new Uint8Array(readFileSync(`${SHARED}/${file}`)), {}, QUIET_WORK);
  if (!outcome.ok) throw new Error(`${file}: ${outcome.why}`);
  return outcome.value.mesh;
}
