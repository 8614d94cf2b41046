// Prints laid by a crew are those laid by one thread, and every piece keeps its place in the list.
import { afterAll, describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { memoryMeshStore } from '../../../../src/mesh/memory-mesh-store.ts';
import { numTris } from '../../../../src/mesh/mesh.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { PLA } from '../../../../src/workshop/facts/materials.ts';
import { computePrinting } from '../../../../src/workshop/printing/printing.ts';
import { printingMachine } from '../../../../src/workshop/process/machine.ts';
import type { Piece } from '../../../../src/workshop/process/pieces-record.ts';
import { PrintSettings } from '../../../../src/workshop/process/print-settings.ts';
import { builtCrew } from '../../../support/crew.ts';
import { testKernel } from '../../../support/kernel.ts';
import { box, sphere, tube } from '../../../support/printing-shapes.ts';

const built = builtCrew();
afterAll(() => built.close());

const meshes = memoryMeshStore();
const machine = ordinaryMachine([220, 220, 250]);
const settings = {
  print: PrintSettings.parse({}),
  machines: [printingMachine(machine)],
  material: { densityGCm3: PLA.densityGCm3, filamentMm: PLA.filamentMm },
  marginMm: 5,
  poses: { asked: [] },
};

/** The smallest first, the largest in the middle: not in the order in which threads take them. */
const pieces: readonly Piece[] = [box(30, 20, 10), sphere(25, 60, 90), tube(40, 37, 30, 200)].map((mesh, i) => ({
  id: 'ABC'[i]!,
  name: 'piece',
  mesh: meshes.put(mesh),
  sourceTri: new Int32Array(numTris(mesh)),
  triangles: numTris(mesh),
  closed: true,
  volumeMm3: 0,
  areaMm2: 0,
  sizeMm: [50, 50, 50],
  poses: [
    { machine: machine.id, toLaid: [1, 0, 0, 0, 1, 0, 0, 0, 1, 60, 60, 0], sizeMm: [50, 50, 50], lies: 'level' },
    { machine: machine.id, toLaid: [1, 0, 0, 0, 0, 1, 0, -1, 0, 60, 60, 60], sizeMm: [50, 50, 50], lies: 'hull face' },
  ],
  mark: { atMm: [0, 0, 0], normal: [0, 0, 1] },
  asked: null,
}));

describe('pieces laid', async () => {
  const work = { ...QUIET_WORK, meshes, solid: await testKernel() };
  const printed = (crew?: ReturnType<typeof built.open>) =>
    computePrinting(
      {
        wearer: { scale: 1 },
        pieces: { seams: [], seen: Uint8Array.of(255) },
        joints: { pieces, joints: [], loose: [] },
      },
      settings,
      crew === undefined ? work : { ...work, crew },
    );
  const alone = printed();

  it('are in the order of the pieces', () => {
    if (!alone.ok) throw new Error(alone.why);
    expect(alone.value.prints.map(({ piece }) => piece)).toEqual(['A', 'B', 'C']);
    // 50 layers of the box as it lies, or more on its side; the ball is 50 mm high, the tube 30 or more
    expect(alone.value.prints.map(({ layers }) => layers)).toEqual([50, 250, 150]);
  });

  it.each([1, 3])('are the same, to the byte, with %i more threads', (numThreads) => {
    expect(JSON.stringify(printed(built.open(numThreads)))).toBe(JSON.stringify(alone));
  });
});
