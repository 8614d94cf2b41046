// Every model file of the shared collection is read, or refused for the reason its notes give, and measures what its catalogue says.
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type ReadModel, readModel } from '../../src/documents/read-model.ts';
import { bounds, surfaceArea, volume } from '../../src/mesh/measure.ts';
import { meshOf, numTris, numVerts } from '../../src/mesh/mesh.ts';

const ROOT = join(import.meta.dirname, '../../../shared/meshes');
const isThere = existsSync(join(ROOT, 'catalogue.json'));
const TOLERANCE = 1e-6;

interface Measured {
  readonly triangles_in_file?: number;
  readonly collapsed_triangles?: number;
  readonly vertices_welded?: number;
  readonly bbox_min?: readonly number[];
  readonly bbox_max?: readonly number[];
  readonly area?: number;
  readonly signed_volume?: number;
}

interface Listed {
  readonly file: string;
  readonly measured?: Measured;
}

/** Files that must be refused, with the reason. */
const REFUSED: Readonly<Record<string, string>> = {
  'tm_small_pack/empty.stl': 'MESH_EMPTY',
  '3mf_conformance_pack/MUSTFAIL_Chapter2.3.4_WhiteSpace.3mf': 'FILE_MALFORMED',
  'assimp_reader_pack/OutOfMemory.off': 'FILE_TRUNCATED',
  'assimp_reader_pack/invalid.off': 'FILE_TRUNCATED',
  'assimp_reader_pack/empty.ply': 'FILE_UNREADABLE',
};

/** Files whose numbers are not those of the catalogue, each with its reason. A file that agrees again must leave this list. */
const DIFFERENT: Readonly<Record<string, string>> = {
  'sword/sword-quad-dominant.obj': 'some quads are not convex; a fan, which was measured, would fold over',
  'spot/spot_control_mesh.obj': 'some quads and pentagons are not convex; the same',
  'tm_small_pack/polygonfaces.obj': 'its pentagon is far from flat; the fan that was measured runs against it',
  'assimp_reader_pack/malformed.obj':
    'faces with a vertex that is not there are left out whole, not triangle by triangle',
};

function listed(): Listed[] {
  const catalogue = JSON.parse(readFileSync(join(ROOT, 'catalogue.json'), 'utf8')) as { meshes: Mesh[] };
  return catalogue.meshes
    .flatMap((mesh) => mesh.files)
    .filter(({ file }) => /\.(stl|3mf|obj|ply|off|gltf|glb)$/i.test(file));
}
interface Mesh {
  readonly files: Listed[];
}

function readShared(file: string) {
  const folder = dirname(join(ROOT, file));
  const resources = (name: string) => (existsSync(join(folder, name)) ? readFileSync(join(folder, name)) : null);
  return readModel(readFileSync(join(ROOT, file)), { resources });
}

/** What was measured in the file's own numbers, as relative differences from the catalogue; empty when all agree. */
function differences(read: ReadModel, measured: Measured, leftOut: number): string[] {
  const mmPerUnit = { mm: 1, cm: 10, m: 1000, in: 25.4, um: 0.001, ft: 304.8 }[read.unit];
  const mesh = meshOf(
    read.mesh.positions.map((v) => v / mmPerUnit),
    read.mesh.triangles,
  );
  const box = bounds(mesh);
  const size = Math.hypot(...box.maxMm.map((v, c) => v - box.minMm[c]!));
  const out: string[] = [];
  const compare = (what: string, ours: number, theirs: number | undefined, scale: number) => {
    if (theirs !== undefined && !(Math.abs(ours - theirs) <= TOLERANCE * scale))
      out.push(`${what} ${ours} for ${theirs}`);
  };
  const whole = measured.triangles_in_file;
  compare('triangles', numTris(mesh) + leftOut, whole, 0);
  compare('vertices', numVerts(mesh), measured.vertices_welded, 0);
  for (let c = 0; c < 3; c++) {
    compare('least', box.minMm[c]!, measured.bbox_min?.[c], size);
    compare('most', box.maxMm[c]!, measured.bbox_max?.[c], size);
  }
  compare('area', surfaceArea(mesh), measured.area, measured.area ?? 0);
  const ball = (measured.area ?? 0) ** 1.5 / 10.6; // volume of a ball of that area: the scale for volumes that cancel
  compare('volume', volume(mesh), measured.signed_volume, Math.min(ball, 1e300));
  return out;
}

describe.skipIf(!isThere)(isThere ? 'shared meshes' : 'shared meshes (skipped: ../shared/meshes is not here)', () => {
  it.each(isThere ? listed().map((entry) => [entry.file, entry] as const) : [])('%s', (file, entry) => {
    const read = readShared(file);
    const refusal = REFUSED[file];
    if (refusal !== undefined) {
      expect(read).toMatchObject({ ok: false, code: refusal });
      return;
    }
    if (!read.ok) throw new Error(`${read.code}: ${read.why}`);
    const leftOut = read.findings
      .filter((f) => f.code === 'TRIANGLES_COLLAPSED' || f.code === 'CORNERS_NOT_FINITE')
      .reduce((sum, f) => sum + (f.measured ?? 0), 0);
    const different = differences(read.value, entry.measured ?? {}, leftOut);
    if (DIFFERENT[file] === undefined) expect(different).toEqual([]);
    else expect(different).not.toEqual([]);
  });
  it('the two ways of saying it in the conformance files give the same shape', () => {
    const corners = ['MUSTPASS_Chapter4.2_Components', 'MUSTPASS_Chapter3.2c_MultipleItemsTransform'].map((name) => {
      const read = readShared(`3mf_conformance_pack/${name}.3mf`);
      if (!read.ok) throw new Error(read.why);
      const { positions, triangles } = read.value.mesh;
      return Array.from(triangles, (v) =>
        Array.from(positions.subarray(v * 3, v * 3 + 3), (x) => x.toFixed(6)).join(' '),
      ).sort();
    });
    expect(corners[0]).toEqual(corners[1]);
  });
});
