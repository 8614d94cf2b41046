// Every STL and 3MF of the shared collection is read, or refused for the reason its notes give; counts agree with its catalogue.
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readModel } from '../../src/documents/read-model.ts';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { readThreemf } from '../../src/documents/threemf/read-threemf.ts';

const ROOT = join(import.meta.dirname, '../../../shared/meshes');
const isThere = existsSync(join(ROOT, 'catalogue.json'));

interface Listed {
  readonly file: string;
  readonly measured?: {
    readonly triangles_in_file?: number;
    readonly vertices_welded?: number;
    readonly size?: readonly number[];
  };
}

const REFUSED: Readonly<Record<string, string>> = {
  'derived/goat_head_nan_inf.stl': 'COORDINATE_NOT_FINITE',
  'tm_small_pack/empty.stl': 'MESH_EMPTY',
  '3mf_conformance_pack/MUSTFAIL_Chapter2.3.4_WhiteSpace.3mf': 'FILE_MALFORMED',
};

function listed(): Listed[] {
  const catalogue = JSON.parse(readFileSync(join(ROOT, 'catalogue.json'), 'utf8')) as { meshes: { files: Listed[] }[] };
  return catalogue.meshes.flatMap((mesh) => mesh.files).filter(({ file }) => /\.(stl|3mf)$/i.test(file));
}

function trianglesIn(bytes: Uint8Array, file: string): number {
  if (/\.3mf$/i.test(file)) {
    const read = readThreemf(bytes);
    return read.ok ? read.value.items.reduce((sum, item) => sum + item.mesh.triangles.length / 3, 0) : Number.NaN;
  }
  const read = readStl(bytes);
  return read.ok ? read.value.corners.length / 9 : Number.NaN;
}

describe.skipIf(!isThere)(isThere ? 'shared meshes' : 'shared meshes (skipped: ../shared/meshes is not here)', () => {
  it.each(isThere ? listed().map((entry) => [entry.file, entry] as const) : [])('%s', (file, entry) => {
    const bytes = readFileSync(join(ROOT, file));
    const read = readModel(bytes);
    const refusal = REFUSED[file];
    if (refusal !== undefined) {
      expect(read).toMatchObject({ ok: false, code: refusal });
      return;
    }
    if (!read.ok) throw new Error(`${read.code}: ${read.why}`);
    const { triangles_in_file: triangles, vertices_welded: verts } = entry.measured ?? {};
    if (triangles !== undefined) expect(trianglesIn(bytes, file)).toBe(triangles);
    if (verts !== undefined) expect(read.value.mesh.positions.length / 3).toBe(verts);
  });
});
