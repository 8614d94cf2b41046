// Open models in disorder, rebuilt or given a wall: always closed, manifold, and near to what they were.
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readOff } from '../../src/documents/off/read-off.ts';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { type Rebuilt, rebuildSurface } from '../../src/geometry/mend/rebuild/rebuild.ts';
import { thickenSheet } from '../../src/geometry/mend/rebuild/thicken-sheet.ts';
import { bounds, sizeOf, surfaceArea } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { surfaceCheck, turnedInsideOut } from '../../src/mesh/topology.ts';
import { weldSoup } from '../../src/mesh/weld.ts';

const MESHES = '../shared/meshes';
const isThere = existsSync(MESHES);

describe.skipIf(!isThere)(
  isThere ? 'open models rebuilt' : 'open models rebuilt (skipped: ../shared/meshes is not here)',
  () => {
    test.each([
      { file: 'bones/bones.off', sizeMm: 120 },
      { file: 'elephant_with_holes/elephant-with-holes.off', sizeMm: 60 },
      { file: 'derived/goat_head_double_shell.stl', sizeMm: 80 },
    ])(
      '$file is closed, manifold and 99 percent within half a cell',
      ({ file, sizeMm }) => {
        const out = rebuilt(sized(load(`${MESHES}/${file}`), sizeMm), 1);
        expect(out.deviation.p99Mm).toBeLessThan(0.5);
        expect(out.crossings).toBeLessThan(100);
      },
      60_000,
    );

    test.each([
      { file: 'flight_helmet/converted/flight_helmet_leather_shell.stl', cellMm: 1.5 },
      { file: 'mask_with_cone/mask_cone.off', cellMm: 1.5 },
      { file: 'tm_small_pack/soup.stl', cellMm: 4 },
    ])(
      '$file, thinner than a cell or a sheet, is closed, manifold and said to have lost area',
      ({ file, cellMm }) => {
        const out = rebuilt(sized(load(`${MESHES}/${file}`), 100), cellMm);
        expect(out.lostAreaMm2).toBeGreaterThan(0);
      },
      60_000,
    );

    test('the inside-out head form, turned, gets a wall and keeps its neck and both eyes open', () => {
      const sheet = sized(turnedInsideOut(load(`${MESHES}/headform_inside_out/head.off`)), 120);
      const outcome = thickenSheet(sheet, { wallMm: 3, cellMm: 1.2 });
      expect(outcome.ok).toBe(true);
      if (!outcome.ok) return;
      // Three openings in a ball, thickened: two handles.
      expect(surfaceCheck(outcome.value.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1, genus: 2 });
      expect(outcome.value.deviation.p99Mm).toBeLessThan(0.12);
      expect(surfaceArea(outcome.value.mesh)).toBeGreaterThan(1.8 * surfaceArea(sheet));
    }, 60_000);
  },
);

function rebuilt(mesh: Mesh, cellMm: number): Rebuilt {
  const outcome = rebuildSurface(mesh, { cellMm });
  if (!outcome.ok) throw new Error(outcome.why);
  expect(surfaceCheck(outcome.value.mesh)).toMatchObject({ closed: true, manifold: true });
  return outcome.value;
}

function load(path: string): Mesh {
  const bytes = new Uint8Array(readFileSync(path));
  if (path.endsWith('.off')) {
    const read = readOff(bytes);
    if (!read.ok) throw new Error(read.why);
    return read.value.mesh;
  }
  const read = readStl(bytes);
  if (!read.ok) throw new Error(read.why);
  return weldSoup(read.value.corners).mesh;
}

function sized(mesh: Mesh, longestMm: number): Mesh {
  const scale = longestMm / Math.max(...sizeOf(bounds(mesh)));
  return meshOf(
    mesh.positions.map((x) => x * scale),
    mesh.triangles,
  );
}
