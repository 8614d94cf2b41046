// Crossing pairs of every open test model against another library's exact count.
import { existsSync, readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readModel } from '../../src/documents/read-model.ts';
import { selfCrossings } from '../../src/geometry/crossings/self-crossings.ts';

const MODELS = '../shared/meshes';
const missing = !existsSync(`${MODELS}/catalogue.json`);
const why = missing ? ' (skipped: ../shared/meshes is not there)' : '';

interface Counted {
  readonly file: string;
  readonly pairs: number;
  readonly triangles: number;
}

interface Catalogue {
  readonly meshes: readonly {
    readonly files: readonly {
      readonly file: string;
      readonly measured?: {
        readonly self_intersection?: {
          readonly intersecting_pairs: number;
          readonly triangles_involved: number;
        } | null;
      };
    }[];
  }[];
}

function counted(): Counted[] {
  if (missing) return [];
  const catalogue = JSON.parse(readFileSync(`${MODELS}/catalogue.json`, 'utf8')) as Catalogue;
  return catalogue.meshes.flatMap(({ files }) =>
    files.flatMap(({ file, measured }) => {
      const found = measured?.self_intersection;
      if (!found) return [];
      return [{ file, pairs: found.intersecting_pairs, triangles: found.triangles_involved }];
    }),
  );
}

/** Polygons with bent faces can be cut into triangles in several ways; the count is of one of them, kept as triangles. */
const AS_COUNTED: ReadonlyMap<string, string> = new Map([
  ['spot/spot_control_mesh.obj', 'spot/converted/spot_control_mesh.stl'],
]);

/** The files that are broken on purpose, which are refused. */
const REFUSED = ['3mf_conformance_pack/MUSTFAIL_Chapter2.3.4_WhiteSpace.3mf'];

const beside =
  (file: string) =>
  (name: string): Uint8Array | null => {
    const path = `${MODELS}/${dirname(file)}/${name}`;
    return existsSync(path) ? new Uint8Array(readFileSync(path)) : null;
  };

describe.skipIf(missing)(`self-crossings of the open models, counted by CGAL 5.5 with exact predicates${why}`, () => {
  it.for(counted())('$file: $pairs pairs', ({ file, pairs, triangles }) => {
    // as numbers stand in the file: a unit would round them anew
    const read = readModel(new Uint8Array(readFileSync(`${MODELS}/${AS_COUNTED.get(file) ?? file}`)), {
      unit: 'mm',
      resources: beside(file),
    });
    expect(read.ok).toBe(!REFUSED.includes(file));
    if (!read.ok) return;
    const got = selfCrossings(read.value.mesh);
    expect({ pairs: got.pairs, triangles: got.triangles }).toEqual({ pairs, triangles });
  });
});
