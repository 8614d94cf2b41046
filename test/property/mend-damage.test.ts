// Closed models damaged at random: mending has to give them back.
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { QUIET_WORK } from '../../src/base/work.ts';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { mendSurface } from '../../src/geometry/mend/mend-surface.ts';
import { simplifyClosed } from '../../src/geometry/simplify.ts';
import { bounds, sizeOf, surfaceArea, volume } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris } from '../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../src/mesh/topology.ts';
import { weldMesh, weldSoup } from '../../src/mesh/weld.ts';
import { DAMAGE_KINDS, type Damage, damaged } from '../support/damage.ts';
import { quickHelm } from '../support/quick-helm.ts';
import { surfaceGap } from '../support/surface-gap.ts';

const SEED = 31;
/** More for a long run: MEND_DAMAGE_RUNS=2000 npx vitest run test/property/mend-damage.test.ts */
const RUNS = Number(process.env.MEND_DAMAGE_RUNS ?? 200);
const MESHES = new URL('../../../shared/meshes/', import.meta.url);
const HEIGHT_MM = 280;
const MOST_GAP_MM = 0.05;
const MOST_VOLUME = 1e-3;

interface Model {
  readonly name: string;
  readonly mesh: Mesh;
}

/** At life size, thinned where a model has more triangles than a quick test wants. */
function sharedModel(name: string, file: string): readonly Model[] {
  const at = new URL(file, MESHES);
  if (!existsSync(at)) return [];
  const read = readStl(new Uint8Array(readFileSync(at)));
  if (!read.ok) throw new Error(`${file} does not read`);
  const { mesh } = weldSoup(read.value.corners);
  const scale = HEIGHT_MM / Math.max(...sizeOf(bounds(mesh)));
  const life = meshOf(
    mesh.positions.map((x) => x * scale),
    mesh.triangles,
  );
  return [{ name, mesh: simplifyClosed(life, { triangles: 20_000 }) }];
}

const models: readonly Model[] = [
  { name: 'helm', mesh: quickHelm({ rings: 40, around: 110 }) },
  ...sharedModel('goat head', 'goat_head/converted/goathead.stl'),
  ...sharedModel('boot', 'boot/converted/boot.stl'),
  ...sharedModel('skull', 'skull/converted/skull.stl'),
];
const checks = models.map(({ mesh }) => ({
  gap: surfaceGap(mesh),
  volumeMm3: volume(mesh),
  genus: surfaceCheck(mesh).genus,
  shells: surfaceCheck(mesh).shells,
}));

interface Case {
  readonly title: string;
  /** A patch of neighbouring triangles is missing among other things: what it looked like is lost. */
  readonly isGuess: boolean;
  /** Of the widest such patch, mm. */
  readonly widthMm: number;
  /** Why the model is not what it was; null when it is closed, with the same handles, shells and volume. */
  readonly fault: string | null;
  readonly gapMm: number;
}

function runCase(seed: number): Case {
  const random = randomStream(seed);
  const which = seed % models.length;
  const { mesh, name } = models[which]!;
  const damages = Array.from({ length: 1 + Math.floor(random() * 3) }, (): Damage => {
    const kind = DAMAGE_KINDS[Math.floor(random() * DAMAGE_KINDS.length)]!;
    return { kind, count: 1 + Math.floor(random() * 30) };
  });
  let broken = mesh;
  for (const damage of damages) broken = damaged(broken, damage, random);
  const mended = mendSurface(weldMesh(broken).mesh, {}, QUIET_WORK).mesh;
  const patch = Math.max(0, ...damages.map(({ kind, count }) => (kind === 'a patch missing' ? count : 0)));
  const fault = faultOf(mended, checks[which]!);
  const told = damages.map(({ kind, count }) => `${kind} ${count}`).join(', ');
  return {
    title: `seed ${seed}, ${name}: ${told}`,
    isGuess: patch > 1,
    widthMm: widthOf(mesh, patch),
    fault,
    gapMm: fault === null ? checks[which]!.gap(mended) : Infinity,
  };
}

function faultOf(mended: Mesh, was: (typeof checks)[number]): string | null {
  const check = surfaceCheck(mended);
  if (!check.manifold) return `not closed: ${check.openEdges} open edges, ${check.pinchedVerts} pinched points`;
  if (check.genus !== was.genus || check.shells !== was.shells) return `genus ${check.genus}, shells ${check.shells}`;
  const change = Math.abs(volume(mended) / was.volumeMm3 - 1);
  return change <= MOST_VOLUME ? null : `volume off by ${change}`;
}

/** Across so many triangles of the mesh's mean area, laid as a disc. */
function widthOf(mesh: Mesh, count: number): number {
  return 2 * Math.sqrt((count * surfaceArea(mesh)) / numTris(mesh) / Math.PI);
}

describe(`mending what was damaged, seeds from ${SEED}`, () => {
  const cases: Case[] = [];
  const title = `${RUNS} times ${models.map(({ name }) => name).join(', ')}`;

  it(`${title}: closed again, same handles, shells and volume, in all but one in a hundred`, () => {
    for (let seed = SEED; seed < SEED + RUNS; seed++) cases.push(runCase(seed));
    const faults = cases.flatMap((one) => (one.fault === null ? [] : [`${one.title}: ${one.fault}`]));
    expect(faults.length, faults.join('\n')).toBeLessThanOrEqual(RUNS / 100);
  }, 300_000);

  it('the same surface to 0.05 mm, in all but one in a hundred, where no patch of neighbours was lost', () => {
    const known = cases.filter(({ isGuess }) => !isGuess);
    const off = known.filter(({ gapMm }) => !(gapMm <= MOST_GAP_MM)).map((one) => `${one.title}: ${one.gapMm} mm`);
    expect(known.length).toBeGreaterThan(RUNS / 2);
    expect(off.length, off.join('\n')).toBeLessThanOrEqual(known.length / 100);
  });

  // Inner vertices and the choice of diagonals are gone with it, at life size and 8 mm triangles more than 0.05 mm.
  it('a lost patch of up to 30 triangles comes back to a sixth of its width in nine of ten, to a thirtieth in half', () => {
    const shares = cases.filter(({ isGuess }) => isGuess).map(({ gapMm, widthMm }) => gapMm / widthMm);
    shares.sort((a, b) => a - b);
    expect(shares.length).toBeGreaterThan(RUNS / 10);
    expect(shares[Math.floor(0.9 * shares.length)]).toBeLessThan(1 / 6);
    expect(shares[Math.floor(0.5 * shares.length)]).toBeLessThan(1 / 30);
  });
});

describe.skipIf(models.length > 1)('open models (../shared/meshes is not here)', () => {
  it.skip('goat head, boot and skull damaged and mended', () => {});
});
