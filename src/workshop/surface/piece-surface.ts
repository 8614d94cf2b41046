// Where layers and support show on the outside of a piece, by classes of its patches.
import { partOfWork } from '../../base/work.ts';
import { type LayerSteps, layerSteps } from '../../geometry/layer-steps.ts';
import { heldTriangles } from '../../geometry/support-columns.ts';
import { treadWidths } from '../../geometry/tread-widths.ts';
import { areaPercentiles } from '../../geometry/wall/area-percentiles.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { invertTransform, transformMesh } from '../../mesh/transform.ts';
import { FINISH_TOOLS } from '../facts/finishing.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { Piece } from '../process/pieces-record.ts';
import type { Print } from '../process/printing-record.ts';
import { type ClassSurface, type PieceSurface, SURFACE_CLASSES } from '../process/surface-record.ts';
import { layerStarts } from './layer-starts.ts';
import { roundsFor } from './rounds.ts';
import type { SurfaceSettings } from './surface-settings.ts';

export interface Laid {
  readonly layerMm: number;
  /** From vertical. */
  readonly overhangLimitDeg: number;
  /** Per triangle of the worn shell, 0 on the inside. */
  readonly seen: Uint8Array;
  /** The same, 1 + the place in FINISH_TOOLS of what sands it. */
  readonly toolOf: Uint8Array;
}

/** Treads wider than this are level faces, which have no rings, mm. */
const LEVEL_MM = 30;
const LEVEL_ENOUGH = Math.SQRT1_2;
const RINGS = 1 + SURFACE_CLASSES.indexOf('rings');

/** Cost: a few passes over the triangles, their neighbours, and a sort of the outside. */
export function pieceSurface(
  piece: Piece,
  print: Print,
  laid: Laid,
  { settings, work }: { readonly settings: SurfaceSettings; readonly work: ChapterWork },
): PieceSurface {
  const mesh = transformMesh(invertTransform(print.toModel), work.meshes.get(piece.mesh));
  const steps = layerSteps(mesh, laid.layerMm);
  const classOf = classes(piece, steps, laid, heldTriangles(mesh, laid.overhangLimitDeg));
  const found = SURFACE_CLASSES.flatMap((of, index) => {
    const areas = Float64Array.from(steps.areaMm2, (area, t) => (classOf[t] === index + 1 ? area : 0));
    const areaMm2 = sum(areas);
    if (areaMm2 === 0) return [];
    const reachMm2 = FINISH_TOOLS.map(() => 0);
    for (const [t, area] of areas.entries()) if (area > 0) reachMm2[laid.toolOf[piece.sourceTri[t]!]! - 1]! += area;
    return [classSurface({ of, areaMm2, reachMm2 }, { perTriMm: steps.cuspMm, areaMm2: areas }, settings)];
  });
  const isAsked = (t: number): boolean => classOf[t] === RINGS;
  const treads = treadWidths(mesh, { layerMm: laid.layerMm, widestMm: LEVEL_MM, isAsked }, partOfWork(work, 0, 0.7));
  const ringAreas = Float64Array.from(steps.areaMm2, (area, t) => (isAsked(t) && treads[t]! < LEVEL_MM ? area : 0));
  const [ringMm] = areaPercentiles({ perTriMm: treads, areaMm2: ringAreas }, [0.95]) as [number];
  return {
    piece: piece.id,
    areaMm2: found.reduce((all, { areaMm2 }) => all + areaMm2, 0),
    classes: found,
    ringMm: Number.isNaN(ringMm) ? 0 : ringMm,
    flareMm: flaredEdge(mesh, classOf),
    starts: layerStarts(
      mesh,
      piece,
      { toModel: print.toModel, seen: laid.seen, kind: settings.starts },
      partOfWork(work, 0.7, 1),
    ),
  };
}

function classSurface(
  { of, areaMm2, reachMm2 }: Pick<ClassSurface, 'of' | 'areaMm2' | 'reachMm2'>,
  cusps: Parameters<typeof areaPercentiles>[0],
  settings: SurfaceSettings,
): ClassSurface {
  const [p50, p95] = areaPercentiles(cusps, [0.5, 0.95]) as [number, number];
  const needMm = p95 + (of === 'scars' ? settings.numbers.scarMm : 0);
  const by = of === 'scars' ? settings.seams : settings.rings;
  return { of, areaMm2, cuspMm: { p50, p95 }, needMm, rounds: roundsFor(needMm, by, settings), reachMm2 };
}

/** 0 on the inside, on mating faces and keys; else 1 + the place of its class. */
function classes({ sourceTri }: Piece, { cuspMm }: LayerSteps, laid: Laid, held: Uint32Array): Uint8Array {
  const classOf = new Uint8Array(sourceTri.length);
  for (let t = 0; t < sourceTri.length; t++) {
    const source = sourceTri[t]!;
    if (source < 0 || laid.seen[source] === 0) continue;
    classOf[t] = cuspMm[t]! > LEVEL_ENOUGH * laid.layerMm ? 1 : 2;
  }
  for (const at of held) if (classOf[at / 3] !== 0) classOf[at / 3] = 3;
  return classOf;
}

const ON_BED_MM = 0.01;

/** Edges on the bed from which a wall of the outside rises: each has one such wall. */
function flaredEdge({ positions: p, triangles }: Mesh, classOf: Uint8Array): number {
  let lengthMm = 0;
  for (let t = 0; t < classOf.length; t++) {
    if (classOf[t] === 0) continue;
    const corners = [0, 1, 2].map((i) => triangles[t * 3 + i]! * 3);
    const low = corners.filter((at) => p[at + 2]! < ON_BED_MM);
    if (low.length !== 2) continue;
    const [a, b] = low as [number, number];
    lengthMm += Math.hypot(p[b]! - p[a]!, p[b + 1]! - p[a + 1]!);
  }
  return lengthMm;
}

function sum(values: Float64Array): number {
  let all = 0;
  for (const value of values) all += value;
  return all;
}
