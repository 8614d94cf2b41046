// Runs the chapter Surface on bare meshes as they lie, without a division before it.
import { QUIET_WORK } from '../../src/base/work.ts';
import { together } from '../../src/mesh/builders.ts';
import { bounds, sizeOf } from '../../src/mesh/measure.ts';
import { type Mesh, numTris } from '../../src/mesh/mesh.ts';
import { IDENTITY } from '../../src/mesh/transform.ts';
import type { ChapterWork } from '../../src/workshop/process/chapter-work.ts';
import type { JointsRecord } from '../../src/workshop/process/joints-record.ts';
import type { Piece, PiecesRecord } from '../../src/workshop/process/pieces-record.ts';
import type { Print, PrintingRecord } from '../../src/workshop/process/printing-record.ts';
import type { SurfaceRecord } from '../../src/workshop/process/surface-record.ts';
import type { WearerRecord } from '../../src/workshop/process/wearer-record.ts';
import { pieceSurface } from '../../src/workshop/surface/piece-surface.ts';
import { computeSurface, SurfaceSettings } from '../../src/workshop/surface/surface.ts';
import { surfaceWork } from '../../src/workshop/surface/surface-work.ts';

export interface SurfaceRun {
  readonly layerMm: number;
  /** From vertical; at 90 nothing is held. */
  readonly overhangLimitDeg: number;
  readonly settings: Partial<SurfaceSettings>;
  /** Whether a triangle, counted over all meshes, is outside. */
  readonly seen: (tri: number) => boolean;
}

/** As a new build has them. */
export const WAKING = { startsH: 8, fromH: 7, toH: 22 };

export const SURFACE_RUN: SurfaceRun = { layerMm: 0.2, overhangLimitDeg: 45, settings: {}, seen: () => true };

const WORN = 'worn';

/** They lie as they are. */
export function runSurface(meshes: readonly Mesh[], run: Partial<SurfaceRun> = {}) {
  const { layerMm, overhangLimitDeg, settings, seen: isSeen } = { ...SURFACE_RUN, ...run };
  const ids = meshes.map((_, index) => String.fromCharCode(65 + index));
  const first = meshes.map((_, index) => meshes.slice(0, index).reduce((sum, mesh) => sum + numTris(mesh), 0));
  const pieces = meshes.map((mesh, index) => ({
    id: ids[index],
    mesh: ids[index],
    sourceTri: Int32Array.from({ length: numTris(mesh) }, (_, tri) => first[index]! + tri),
  }));
  const num = meshes.reduce((sum, mesh) => sum + numTris(mesh), 0);
  const seen = Uint8Array.from({ length: num }, (_, tri) => (isSeen(tri) ? 255 : 0));
  const prints = meshes.map((mesh, index) => ({ piece: ids[index], toModel: IDENTITY, sizeMm: sizeOf(bounds(mesh)) }));
  const outcome = computeSurface(
    {
      wearer: { mesh: WORN } as unknown as WearerRecord,
      pieces: { pieces, seams: [], seen } as unknown as PiecesRecord,
      joints: { pieces, joints: [] } as unknown as JointsRecord,
      printing: { overhangLimitDeg, prints } as unknown as PrintingRecord,
    },
    { ...SurfaceSettings.parse(settings), softMm: settings.softMm ?? 2, layerMm, hours: WAKING },
    {
      ...QUIET_WORK,
      meshes: { get: (id: string) => (id === WORN ? together(meshes) : meshes[ids.indexOf(id)]!) },
    } as unknown as ChapterWork,
  );
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome;
}

/** The finish of all of each mesh, as if a block reached everywhere: reach takes most of the seconds of the whole chapter, and has its own tests. */
export function finishOf(meshes: readonly Mesh[], run: Omit<SurfaceRun, 'seen'>) {
  const settings = SurfaceSettings.parse(run.settings);
  const pieces = meshes.map((mesh, index) => {
    const all = new Uint8Array(numTris(mesh));
    const piece = { id: String(index), mesh: 'it', sourceTri: Int32Array.from(all.keys()) } as unknown as Piece;
    const print = { toModel: IDENTITY, sizeMm: sizeOf(bounds(mesh)) } as unknown as Print;
    const work = { ...QUIET_WORK, meshes: { get: () => mesh } } as unknown as ChapterWork;
    return pieceSurface(
      piece,
      print,
      { ...run, seen: new Uint8Array(all.length).fill(255), toolOf: all.fill(4) },
      { settings, work },
    );
  });
  const areaMm2 = [0, 0, 0, pieces.reduce((sum, piece) => sum + piece.areaMm2, 0), 0];
  return { pieces, ...surfaceWork({ pieces, seams: [], reach: { areaMm2 } }, settings, WAKING) };
}

export function classOf({ pieces }: SurfaceRecord, of: SurfaceRecord['pieces'][number]['classes'][number]['of']) {
  return pieces[0]!.classes.find((one) => one.of === of);
}
