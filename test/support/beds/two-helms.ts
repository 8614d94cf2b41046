// The demo helm in six pieces by planes, each laid flat as it was cut, with made-up layers: what lies on beds, without a search or a time model.
import { QUIET_WORK } from '../../../src/base/work.ts';
import { bounds, sizeOf } from '../../../src/mesh/measure.ts';
import { memoryMeshStore } from '../../../src/mesh/memory-mesh-store.ts';
import { type Mesh, numTris } from '../../../src/mesh/mesh.ts';
import { type Transform, transformMesh } from '../../../src/mesh/transform.ts';
import { BedsSettings } from '../../../src/workshop/beds/beds.ts';
import { demoModel } from '../../../src/workshop/demo/demo.ts';
import { ordinaryMachine } from '../../../src/workshop/facts/machines.ts';
import type { ChapterWork } from '../../../src/workshop/process/chapter-work.ts';
import { type Machine, printingMachine } from '../../../src/workshop/process/machine.ts';
import type { Piece } from '../../../src/workshop/process/pieces-record.ts';
import type { Print, PrintingRecord } from '../../../src/workshop/process/printing-record.ts';
import { cutByPlanes } from '../pieces/cut-by-planes.ts';

export const LAYER_MM = 0.2;

/** Pieces as they lie, smallest corner at 0,0,0. */
export function helmPieces(): readonly Mesh[] {
  const helm = demoModel('keepers-helm', { triangles: 20_000 });
  const { minMm, maxMm } = bounds(helm);
  const at = (axis: 0 | 1 | 2, share: number) => ({
    normal: [0, 1, 2].map((i) => (i === axis ? 1 : 0)) as unknown as readonly [number, number, number],
    offsetMm: minMm[axis] + share * (maxMm[axis] - minMm[axis]),
  });
  const { parts } = cutByPlanes(helm, {
    plane: at(2, 0.61),
    below: { plane: at(0, 0.503), below: { plane: at(1, 0.47) }, above: { plane: at(1, 0.47) } },
    above: { plane: at(0, 0.503) },
  });
  return parts.map(({ part }) => {
    const [x, y, z] = bounds(part.mesh).minMm;
    return transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, -x, -y, -z], part.mesh);
  });
}

export interface BedsCase {
  readonly inputs: { readonly joints: { readonly pieces: readonly Piece[] }; readonly printing: PrintingRecord };
  readonly settings: BedsSettings;
  readonly work: ChapterWork;
  readonly meshes: ReadonlyMap<string, Mesh>;
}

/** Every machine takes every piece; a layer takes 2 s and a second for every 40 triangles of the piece a layer. */
export function bedsCase(
  laid: readonly Mesh[],
  machines: readonly Machine[] = [ordinaryMachine([300, 300, 400]), ordinaryMachine([420, 420, 400])],
  choices: Partial<BedsSettings> = {},
): BedsCase {
  const store = memoryMeshStore();
  const ids = laid.map((_, i) => String.fromCharCode(65 + i));
  const toModel: Transform = [0, 0, 1, 1, 0, 0, 0, 1, 0, 3, 4, 5];
  const pieces = laid.map((mesh, i) => ({
    id: ids[i]!,
    mesh: store.put(transformMesh(toModel, mesh)),
  })) as unknown as readonly Piece[];
  const prints = laid.map((mesh, i): Print => {
    const sizeMm = sizeOf(bounds(mesh));
    const layers = Math.ceil(sizeMm[2] / LAYER_MM);
    const layerS = new Float64Array(layers).fill(2 + numTris(mesh) / layers / 4);
    return {
      piece: ids[i]!,
      toModel,
      sizeMm,
      layers,
      filamentG: numTris(mesh) / 20,
      supportG: 10,
      filamentM: numTris(mesh) / 60,
      unsteady: 0,
      on: machines.map(({ id, startUpS, shortestLayerS }) => ({
        machine: id,
        turnDeg: 0,
        sizeMm,
        layerS,
        startUpS,
        shortestLayerS,
      })),
    } as unknown as Print;
  });
  const settings = BedsSettings.parse({
    machines: machines.map(printingMachine),
    marginMm: 5,
    packG: 1000,
    print: { layerMm: LAYER_MM, firstLayerMm: LAYER_MM, hoursAFailure: 100, firstLayerFailPercent: 3 },
    ...choices,
  });
  return {
    inputs: { joints: { pieces }, printing: { prints, splices: null } as unknown as PrintingRecord },
    settings,
    work: { ...QUIET_WORK, meshes: store } as unknown as ChapterWork,
    meshes: new Map(laid.map((mesh, i) => [ids[i]!, mesh])),
  };
}
