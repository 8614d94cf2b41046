// Runs the chapter Pieces on a bare mesh, and checks what must hold of every result.
import { expect } from 'vitest';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { roundToSingle } from '../../../src/geometry/round-to-single.ts';
import { surfaceArea, volume } from '../../../src/mesh/measure.ts';
import type { Mesh } from '../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../src/mesh/transform.ts';
import { computePieces, PiecesSettings } from '../../../src/workshop/pieces/pieces.ts';
import type { AskedOfSeams } from '../../../src/workshop/process/asked-seams.ts';
import type { ChapterWork } from '../../../src/workshop/process/chapter-work.ts';
import type { PiecesRecord } from '../../../src/workshop/process/pieces-record.ts';
import type { WearerRecord } from '../../../src/workshop/process/wearer-record.ts';
import { testKernel } from '../kernel.ts';

const kernel = await testKernel();

export interface PiecesRun {
  readonly bedMm: readonly [number, number, number];
  readonly marginMm?: number;
  readonly mostPieces?: number;
  readonly mirrored?: 'at x = 0' | 'no';
  /** Called bed 2, bed 3 ... */
  readonly furtherBeds?: readonly (readonly [number, number, number])[];
  readonly asked?: Partial<AskedOfSeams>;
  readonly beamWidth?: number;
  readonly mostBowMm?: number;
}

/** What Wearer would hand on of a bare mesh, as far as Pieces and Joints read it. */
export function wornAs(mesh: string, symmetry: WearerRecord['symmetry']): WearerRecord {
  return {
    kind: 'wearer',
    version: 2,
    mesh,
    scale: 1,
    sizeMm: [0, 0, 0],
    volumeMm3: 0,
    areaMm2: 0,
    wallMm: 3,
    wallKept: false,
    symmetry,
    girth: null,
  };
}

export function runPieces(mesh: Mesh, about: PiecesRun) {
  const meshes = new Map<string, Mesh>([['shell', mesh]]);
  const work: ChapterWork = {
    ...QUIET_WORK,
    solid: kernel,
    meshes: {
      get: (id) => meshes.get(id)!,
      put: (piece) => {
        const id = `piece-${meshes.size}`;
        meshes.set(id, piece);
        return id;
      },
    },
  };
  const wearer = wornAs('shell', about.mirrored === 'no' ? null : { normal: [1, 0, 0], offsetMm: 0 });
  const settings = PiecesSettings.parse({
    marginMm: about.marginMm ?? 5,
    mostPieces: about.mostPieces ?? 40,
    beds: [about.bedMm, ...(about.furtherBeds ?? [])].map((bedMm, i) => ({
      id: i === 0 ? 'bed' : `bed ${i + 1}`,
      bedMm,
    })),
    asked: about.asked ?? {},
    beamWidth: about.beamWidth ?? 4,
    mostBowMm: about.mostBowMm,
  });
  return { outcome: computePieces({ wearer }, settings, work), meshes };
}

export function piecesOf(mesh: Mesh, about: PiecesRun): { record: PiecesRecord; meshes: Map<string, Mesh> } {
  const { outcome, meshes } = runPieces(mesh, about);
  if (!outcome.ok) throw new Error(outcome.why);
  return { record: outcome.value, meshes };
}

/** What is told of a seam's line on the outside agrees with itself and with the outline of its face. */
function expectLines({ outerMm, innerMm, costMm, lines, places, outlines }: PiecesRecord['seams'][number]): void {
  let length = 0;
  let cost = 0;
  for (const { points, price } of lines) {
    expect(points.length).toBe(price.length * 3 + 3);
    price.forEach((one, i) => {
      const step = Math.hypot(...[0, 1, 2].map((c) => points[i * 3 + 3 + c]! - points[i * 3 + c]!));
      length += step;
      cost += one * step;
      if (one < 0 || one > 1) throw new Error(`price ${one}`);
    });
  }
  const told = Object.values(places).reduce((sum, mm) => sum + mm, 0);
  expect(told).toBeCloseTo(outerMm, 6);
  expect(Math.abs(length - outerMm)).toBeLessThan(1e-4 * outerMm + 1e-3);
  expect(Math.abs(cost - costMm)).toBeLessThan(1e-4 * outerMm + 1e-3);
  const around = outlines.reduce((sum, outline) => sum + lengthAround(outline), 0);
  expect(outerMm + innerMm).toBeLessThan(around * (1 + 1e-4) + 1e-3);
}

function lengthAround(outline: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < outline.length; i += 3)
    sum += Math.hypot(...[0, 1, 2].map((c) => outline[(i + 3 + c) % outline.length]! - outline[i + c]!));
  return sum;
}

/** Closed when written, inside the bed less its margin, volumes sum to the shell, areas grow by twice the seams, every seam between two
 *  pieces that carry its mark. */
export function expectLaws(
  mesh: Mesh,
  about: PiecesRun,
  of: { record: PiecesRecord; meshes: Map<string, Mesh> },
): void {
  const { record, meshes } = of;
  const margin = about.marginMm ?? 5;
  const [w, d, h] = about.bedMm;
  const room = [w - 2 * margin, d - 2 * margin, h - margin];
  let volumes = 0;
  let areas = 0;
  for (const piece of record.pieces) {
    const own = meshes.get(piece.mesh)!;
    volumes += volume(own);
    areas += surfaceArea(own);
    expect(piece.poses.length).toBeGreaterThan(0);
    for (const pose of piece.poses) {
      const laid = roundToSingle(transformMesh(pose.toLaid, own), piece.sourceTri);
      expect(laid.numBadEdges).toBe(0);
      for (let i = 0; i < laid.mesh.positions.length; i++) {
        const at = laid.mesh.positions[i]!;
        if (at < -1e-4 || at > room[i % 3]! + 1e-4) throw new Error(`piece ${piece.id} leaves the bed: ${at}`);
      }
    }
  }
  const seams = record.seams.reduce((sum, seam) => sum + seam.areaMm2, 0);
  expect(volumes / volume(mesh) - 1).toBeCloseTo(0, 9);
  expect(areas / (surfaceArea(mesh) + 2 * seams) - 1).toBeCloseTo(0, 8);
  record.seams.forEach((seam, index) => {
    expect(seam.pieces[0]).not.toBe(seam.pieces[1]);
    expectLines(seam);
    for (const id of seam.pieces) {
      const piece = record.pieces.find((one) => one.id === id)!;
      expect(piece.sourceTri.includes(-1 - index)).toBe(true);
    }
  });
  for (const piece of record.pieces) {
    for (const source of piece.sourceTri) expect(source).toBeGreaterThanOrEqual(-record.seams.length);
  }
}
