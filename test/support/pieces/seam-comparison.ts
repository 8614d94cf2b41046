// One model on one bed: the program's division beside grids, the published search and divisions set by hand, all judged alike.
import { readFileSync } from 'node:fs';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { volume } from '../../../src/mesh/measure.ts';
import { memoryMeshStore } from '../../../src/mesh/memory-mesh-store.ts';
import { transformMesh } from '../../../src/mesh/transform.ts';
import { computePieces, type PiecesChoices, PiecesSettings } from '../../../src/workshop/pieces/pieces.ts';
import { testKernel } from '../kernel.ts';
import { roomOf, type Size } from '../seam-evaluator/fit.ts';
import { type CutDivision, cutByPlanes, type PlaneTree } from '../seam-evaluator/plane-division.ts';
import type { PricedModel } from '../seam-evaluator/priced-model.ts';
import { badEdgesOf, selfCrossings, standsOutMm, volumeOff } from '../seam-evaluator/sound-pieces.ts';
import { cornersOf, type WrittenSeams, writtenSeams } from '../seam-evaluator/written-seams.ts';
import type { SeamModel, SeamModelName } from './seam-models.ts';

export interface HandDivision {
  readonly model: SeamModelName;
  readonly bedMm: Size;
  readonly name: 'classic' | 'hidden';
  readonly why: string;
  readonly planes: PlaneTree;
}

export const HAND = JSON.parse(readFileSync('test/reference/seam-hand-divisions.json', 'utf8')) as {
  readonly date: string;
  readonly divisions: readonly HandDivision[];
};

/** The pairs of model and bed on which divisions are compared. */
export const SEAM_PAIRS: readonly { readonly model: SeamModelName; readonly bedMm: Size }[] = HAND.divisions
  .filter(({ name }) => name === 'classic')
  .map(({ model, bedMm }) => ({ model, bedMm }));

export function handDivisions(priced: PricedModel, model: SeamModelName, bedMm: Size): readonly CutDivision[] {
  return HAND.divisions
    .filter((one) => one.model === model && one.bedMm.join() === bedMm.join())
    .map(({ planes }) => cutByPlanes(priced, planes, roomOf(bedMm)));
}

export interface OwnDivision extends WrittenSeams {
  /** As the program itself says. */
  readonly saidCostMm: number;
  readonly saidOuterMm: number;
  readonly badEdges: number;
  readonly crossings: number;
  readonly volumeOff: number;
  /** Largest over all pieces in their best pose. */
  readonly standsOutMm: number;
  readonly seconds: number;
}

export interface OwnOptions {
  readonly choices?: Partial<PiecesChoices>;
  /** Looking for crossings takes a while. */
  readonly crossings?: 'look' | 'leave';
}

/** What the chapter makes of the model. Refusals are thrown: there is nothing to compare then. */
export async function ownDivision(
  priced: PricedModel,
  { mesh, symmetry }: SeamModel,
  { bedMm, choices = {}, crossings = 'look' }: OwnOptions & { readonly bedMm: Size },
): Promise<OwnDivision> {
  const meshes = memoryMeshStore();
  const settings = PiecesSettings.parse({ ...choices, beds: [{ id: 'bed', bedMm }] });
  const work = { ...QUIET_WORK, meshes, solid: await testKernel() };
  const wearer = {
    kind: 'wearer',
    version: 2,
    mesh: meshes.put(mesh),
    scale: 1,
    sizeMm: [0, 0, 0],
    volumeMm3: volume(mesh),
    areaMm2: 0,
    wallMm: 3,
    wallKept: false,
    symmetry,
    girth: null,
  } as const;
  const begun = performance.now();
  const outcome = computePieces({ wearer }, settings, work);
  const seconds = (performance.now() - begun) / 1000;
  if (!outcome.ok) throw new Error(outcome.why);
  const { pieces, seams } = outcome.value;
  const corners = pieces.map((piece) => cornersOf(meshes.get(piece.mesh)));
  const laid = pieces.map((piece) => cornersOf(transformMesh(piece.poses[0]!.toLaid, meshes.get(piece.mesh))));
  return {
    ...writtenSeams(priced, corners),
    saidCostMm: seams.reduce((sum, seam) => sum + seam.costMm, 0),
    saidOuterMm: seams.reduce((sum, seam) => sum + seam.outerMm, 0),
    badEdges: badEdgesOf(corners),
    crossings: crossings === 'look' ? corners.reduce((sum, own) => sum + selfCrossings(own), 0) : 0,
    volumeOff: volumeOff(corners, volume(mesh)),
    standsOutMm: Math.max(...laid.map((own) => standsOutMm(own, roomOf(bedMm)))),
    seconds,
  };
}
