// Sound models damaged at random and mended through the whole entry: what came back of each.
import { existsSync, readFileSync } from 'node:fs';
import { randomStream } from '../../src/base/random.ts';
import { QUIET_WORK } from '../../src/base/work.ts';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { simplifyClosed } from '../../src/geometry/simplify.ts';
import type { SolidKernel, SolidWork } from '../../src/geometry/solid/solid.ts';
import { bounds, sizeOf, surfaceArea } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris } from '../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../src/mesh/topology.ts';
import { weldMesh, weldSoup } from '../../src/mesh/weld.ts';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import { ModelMend } from '../../src/workshop/model/model-settings.ts';
import { soundSolid } from '../../src/workshop/model/sound-solid.ts';
import { DAMAGE_KINDS, type DamageKind, damaged, splitApart } from './damage.ts';
import { quickHelm } from './quick-helm.ts';
import { surfaceGap } from './surface-gap.ts';

const MESHES = new URL('../../../shared/meshes/', import.meta.url);
const TRIANGLES = 20_000;

export interface DamageModel {
  readonly name: string;
  /** Closed, mm, at life size. The demonstration helm crosses itself at some places. */
  readonly mesh: Mesh;
  readonly gap: (other: Mesh) => number;
  readonly volumeMm3: number;
}

export interface DamageCase {
  readonly title: string;
  /** A patch of neighbouring triangles is missing among other things: what it looked like is lost. */
  readonly isGuess: boolean;
  readonly isSplit: boolean;
  /** Of the widest such patch, mm. */
  readonly widthMm: number;
  /** Why what came back is no closed manifold; null when it is. */
  readonly fault: string | null;
  /** Against the model before the damage; Infinity without a result. */
  readonly volumeChange: number;
  readonly gapMm: number;
}

export interface DamageModels {
  readonly models: readonly DamageModel[];
  readonly hasShared: boolean;
  run(seed: number): DamageCase;
}

/** The helm of the demonstration and three open models, or two plain shapes without them, at life size. */
export function damageModels(solid: SolidKernel): DamageModels {
  const work: SolidWork = { ...QUIET_WORK, solid };
  const hasShared = existsSync(new URL('skull', MESHES));
  const meshes: readonly (readonly [string, Mesh])[] = [
    ["Keeper's helm", demoModel('keepers-helm', { triangles: TRIANGLES })],
    ...(hasShared ? sharedModels() : plainShapes()),
  ];
  const models = meshes.map(([name, mesh]): DamageModel => {
    const sound = soundSolid(mesh, ModelMend.parse({}), work);
    if (!sound.ok) throw new Error(`${name}: ${sound.why}`);
    return { name, mesh, gap: surfaceGap(sound.value.mesh), volumeMm3: sound.value.volumeMm3 };
  });
  return { models, hasShared, run: (seed) => runCase(models[seed % models.length]!, seed, work) };
}

function sharedModels(): readonly (readonly [string, Mesh])[] {
  return [
    ['goat head', sharedModel('goat_head/converted/goathead.stl', ([, , z]) => 250 / z)],
    ['boot', sharedModel('boot/converted/boot.stl', (size) => 300 / Math.max(...size))],
    ['skull', sharedModel('skull/converted/skull.stl', (size) => 200 / Math.max(...size))],
  ];
}

function plainShapes(): readonly (readonly [string, Mesh])[] {
  return [
    ['dome', quickHelm({ rings: 40, around: 110 })],
    ['narrow dome', quickHelm({ radiiMm: [90, 100, 220], wallMm: 4, rings: 60, around: 70 })],
  ];
}

/** At life size, thinned where a model has more triangles than a quick test wants. */
function sharedModel(file: string, scaleOf: (size: readonly [number, number, number]) => number): Mesh {
  const read = readStl(new Uint8Array(readFileSync(new URL(file, MESHES))));
  if (!read.ok) throw new Error(`${file} does not read`);
  const { mesh } = weldSoup(read.value.corners);
  const scale = scaleOf(sizeOf(bounds(mesh)) as [number, number, number]);
  const life = meshOf(
    mesh.positions.map((x) => x * scale),
    mesh.triangles,
  );
  return numTris(life) > TRIANGLES ? simplifyClosed(life, { triangles: TRIANGLES }) : life;
}

type Kind = DamageKind | 'split apart';
const KINDS: readonly Kind[] = [...DAMAGE_KINDS, 'split apart'];

function runCase({ name, mesh, gap, volumeMm3 }: DamageModel, seed: number, work: SolidWork): DamageCase {
  const random = randomStream(seed);
  const drawn = Array.from({ length: 1 + Math.floor(random() * 3) }, () => ({
    kind: KINDS[Math.floor(random() * KINDS.length)]!,
    count: 1 + Math.floor(random() * 30),
  }));
  const isSplit = drawn.some(({ kind }) => kind === 'split apart');
  let broken = isSplit ? splitApart(mesh, work.solid.triangulate, random) : mesh;
  for (const { kind, count } of drawn) if (kind !== 'split apart') broken = damaged(broken, { kind, count }, random);
  const patch = Math.max(0, ...drawn.map(({ kind, count }) => (kind === 'a patch missing' ? count : 0)));
  const told = drawn.map(({ kind, count }) => (kind === 'split apart' ? kind : `${kind} ${count}`)).join(', ');
  const sound = soundSolid(weldMesh(broken).mesh, ModelMend.parse({}), work);
  return {
    title: `seed ${seed}, ${name}: ${told}`,
    isGuess: patch > 1,
    isSplit,
    widthMm: widthOf(mesh, patch),
    fault: sound.ok ? faultOf(sound.value.mesh) : sound.why,
    volumeChange: sound.ok ? Math.abs(sound.value.volumeMm3 / volumeMm3 - 1) : Infinity,
    gapMm: sound.ok ? gap(sound.value.mesh) : Infinity,
  };
}

function faultOf(mended: Mesh): string | null {
  const check = surfaceCheck(mended);
  if (check.manifold && check.closed) return null;
  return `not closed: ${check.openEdges} open edges, ${check.pinchedVerts} pinched points`;
}

/** Across so many triangles of the mesh's mean area, laid as a disc. */
function widthOf(mesh: Mesh, count: number): number {
  return 2 * Math.sqrt((count * surfaceArea(mesh)) / numTris(mesh) / Math.PI);
}
