// The counts of defects of open test models against those measured beside them with other tools.
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { findDefects } from '../../src/geometry/mend/find-defects.ts';
import { weldSoup } from '../../src/mesh/weld.ts';

const MESHES = new URL('../../../shared/meshes/', import.meta.url);
const CATALOGUE = new URL('catalogue.json', MESHES);

interface Entry {
  readonly file: string;
  readonly measured?: Readonly<Record<string, number | undefined>>;
}

/** Its zero-area triangles are left out on welding, and the catalogue counts copies among them. */
const COUNTED_OTHERWISE = new Set(['derived/goat_head_far_offset.stl']);

const entries: readonly Entry[] = existsSync(CATALOGUE)
  ? (JSON.parse(readFileSync(CATALOGUE, 'utf8')) as { meshes: readonly { files: readonly Entry[] }[] }).meshes
      .flatMap(({ files }) => files)
      .filter(({ file, measured }) => /\.stl$/i.test(file) && (measured?.triangles_in_file ?? 0) > 0)
      .filter(({ file }) => !COUNTED_OTHERWISE.has(file))
  : [];

describe.skipIf(entries.length === 0)('defects of ../shared/meshes as catalogue.json counts them', () => {
  it.each(entries)('$file', ({ file, measured }) => {
    const read = readStl(new Uint8Array(readFileSync(new URL(encodeURI(file), MESHES))));
    if (!read.ok) throw new Error(`${file} does not read`);
    const found = findDefects(weldSoup(read.value.corners).mesh);
    const counts = {
      open_edges: found.openEdges.count,
      edges_over_2_faces: found.crowdedEdges.count,
      orientation_clash_edges: found.clashingEdges.count,
      nonmanifold_vertices: found.pinchedVerts.count,
      duplicate_triangles: found.doubleTriangles.count,
      shells_by_edge: found.shells,
      boundary_loops: found.openLoops,
    };
    for (const [name, count] of Object.entries(counts)) {
      if (measured?.[name] !== undefined && measured[name] !== null) expect(count, name).toBe(measured[name]);
    }
  });
});
