// What the maker asks of a division, brought to worn size and found on the shell.
import { done, type Finding, finding, type Outcome, refuse } from '../../../base/findings.ts';
import type { Plane } from '../../../geometry/plane.ts';
import { scaled } from '../../../geometry/three-by-three.ts';
import { buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoint } from '../../../mesh/closest-point.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import { wornBoundOf, wornPlaneOf } from '../../process/asked-plane.ts';
import { type AskedOfSeams, askedWords, type SurfacePoint } from '../../process/asked-seams.ts';
import type { Bed, PiecesSettings } from '../pieces-settings.ts';
import { type WornArea, wornArea } from './asked-areas.ts';

/** A seam that was asked for. */
export interface WornSeam {
  /** Its place in the list of the build file. */
  readonly index: number;
  readonly plane: Plane;
  /** Cuts that are made before it, in their order, where it lies. */
  readonly within: readonly Plane[];
  /** Its first point: it cuts the part in which this lies. */
  readonly firstMm: Vec3;
  /** Triangle of the shell on which that lies. */
  readonly tri: number;
}

/** The piece with this place is printed on this bed. */
export interface WornMachine {
  /** Its place in the list of the build file. */
  readonly index: number;
  readonly atMm: Vec3;
  /** Triangle of the shell on which the place lies. */
  readonly tri: number;
  /** Index of its bed in the settings. */
  readonly bed: number;
}

export interface AskedAtSize {
  readonly seams: readonly WornSeam[];
  readonly areas: readonly WornArea[];
  readonly machines: readonly WornMachine[];
}

/** Settings of the chapter with what they ask found on the shell. */
export interface DivideSettings extends PiecesSettings {
  readonly demands: AskedAtSize;
  /** Worn over unscaled. */
  readonly scale: number;
}

export const NOTHING_ASKED: AskedAtSize = { seams: [], areas: [], machines: [] };

/** Farther from the surface than this, worn, a mark is told. */
export const MARK_OFF_MM = 1;

/** Findings: MARK_OFF for each thing with a mark off the surface. Refuses PIECES_SEAM_UNMET for points that tell no plane and
 *  PIECES_MACHINE_UNMET for a machine that the build does not have. Cost: O(n log n) for the tree where something is asked. */
export function askedAtSize(
  asked: AskedOfSeams,
  shell: Mesh,
  { scale, beds }: { readonly scale: number; readonly beds: readonly Bed[] },
): Outcome<AskedAtSize> {
  if (asked.seams.length + asked.clear.length + asked.machines.length === 0) return done(NOTHING_ASKED);
  const tree = buildBoundingTree(shell);
  const findings: Finding[] = [];
  const triOf = (points: readonly SurfacePoint[], kind: keyof AskedOfSeams, index: number): number => {
    const found = points.map(({ atMm }) => closestPoint(tree, scaled(atMm, scale)));
    const off = found.map((one) => one?.distanceMm ?? Infinity);
    const most = Math.max(...off);
    if (most > MARK_OFF_MM) findings.push(markOff(points[off.indexOf(most)]!, most, { kind, index }));
    return found[0]?.tri ?? 0;
  };
  const seams: WornSeam[] = [];
  for (const [index, seam] of asked.seams.entries()) {
    const plane = wornPlaneOf(seam, scale);
    const first = seam.points[0]!;
    if (plane === null) {
      return refuse(
        'PIECES_SEAM_UNMET',
        `${askedWords('seams', index)} has ${seam.points.length === 1 ? 'one point only' : 'its points in one place'}, which tells no plane; two points apart do.`,
        {
          where: { path: `pieces.asked.seams.${index}`, space: 'model', atMm: first.atMm },
          tryThis: 'Point at two or more places, or take the seam away.',
        },
      );
    }
    const within = seam.within.flatMap((bound) => wornBoundOf(bound, scale) ?? []);
    seams.push({ index, plane, within, firstMm: scaled(first.atMm, scale), tri: triOf(seam.points, 'seams', index) });
  }
  const areas = asked.clear.map((area, index) => {
    triOf(area.outline, 'clear', index);
    return wornArea(area, index, scale);
  });
  const machines: WornMachine[] = [];
  for (const [index, { at, machine }] of asked.machines.entries()) {
    const bed = beds.findIndex(({ id }) => id === machine);
    if (bed < 0) {
      return refuse(
        'PIECES_MACHINE_UNMET',
        `${askedWords('machines', index)} is no longer one of this book, whose ${beds.length === 1 ? 'machine has' : 'machines have'} ${beds.map(({ bedMm }) => bedMm.join(' x ')).join(', ')} mm.`,
        { where: { path: `pieces.asked.machines.${index}`, space: 'model', atMm: at.atMm } },
      );
    }
    machines.push({ index, atMm: scaled(at.atMm, scale), tri: triOf([at], 'machines', index), bed });
  }
  return done({ seams, areas, machines }, findings);
}

/** What is asked of one body of several; its triangles then count from 0. sourceTri: per triangle of the body, which of the shell it is. */
export function demandsOfBody(demands: AskedAtSize, sourceTri: Int32Array): AskedAtSize {
  const own = <T extends { readonly tri: number }>(all: readonly T[]): T[] =>
    all.flatMap((one) => {
      const tri = sourceTri.indexOf(one.tri);
      return tri < 0 ? [] : [{ ...one, tri }];
    });
  return { seams: own(demands.seams), areas: demands.areas, machines: own(demands.machines) };
}

/** The beds on which a part with these machines may lie: all where none is asked, none where two different ones are. */
export function bedsOf(beds: readonly Bed[], machines: readonly WornMachine[]): Bed[] {
  return beds.filter((_, index) => machines.every(({ bed }) => bed === index));
}

function markOff(
  { atMm }: SurfacePoint,
  offMm: number,
  of: { readonly kind: keyof AskedOfSeams; readonly index: number },
): Finding {
  return finding(
    'MARK_OFF',
    `${askedWords(of.kind, of.index)} has a mark ${offMm.toFixed(1)} mm off the surface, more than ${MARK_OFF_MM} mm: the model has changed since, or stands another way. Point it out again if it is not where you mean it.`,
    {
      where: { path: `pieces.asked.${of.kind}.${of.index}`, space: 'model', atMm },
      measured: offMm,
      limit: MARK_OFF_MM,
      unit: 'mm',
    },
  );
}
