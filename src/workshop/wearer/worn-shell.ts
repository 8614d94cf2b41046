// The shell at the size it is worn, with the wall that goes with it.
import { type Finding, finding, type Where } from '../../base/findings.ts';
import { partOfWork, type Work } from '../../base/work.ts';
import { type MovedWall, moveInnerWall } from '../../geometry/wall/move-inner-wall.ts';
import { areaPercentiles, wallThickness } from '../../geometry/wall/wall-thickness.ts';
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { type Mesh, NONE, type Vec3 } from '../../mesh/mesh.ts';
import { type Transform, transformMesh } from '../../mesh/transform.ts';
import type { ModelRecord } from '../process/model-record.ts';

export interface WornShell {
  /** Model space at worn size, mm. */
  readonly mesh: Mesh;
  /** numTris, mm. */
  readonly wallPerTriMm: Float32Array;
  readonly middleWallMm: number;
  readonly findings: readonly Finding[];
}

export interface ShellToWear {
  readonly model: ModelRecord;
  /** The model's mesh. */
  readonly mesh: Mesh;
  readonly scale: number;
  /** Wall at worn size; null lets it grow with the model. */
  readonly wallMm: number | null;
}

/** Off by more than this share of the wanted wall at the fifth or ninety-fifth hundredth, the wall is said to be off. */
const OFF_SHARE = 0.1;

/** Cost: a pass over the positions; with a wall of its own, two measured walls and a count of crossings. */
export function wornShell({ model, mesh, scale, wallMm }: ShellToWear, work: Work): WornShell {
  const worn = scale === 1 ? mesh : transformMesh(scaleBy(scale), mesh);
  if (wallMm === null || hasWall(model, scale, wallMm))
    return {
      mesh: worn,
      wallPerTriMm: model.wallPerTriMm.map((mm) => mm * scale),
      middleWallMm: model.wallMm.p50 * scale,
      findings: [],
    };
  const tree = buildBoundingTree(worn, partOfWork(work, 0, 0.05));
  const wallPerTriMm = model.wallPerTriMm.map((mm) => mm * scale);
  const moved = moveInnerWall(worn, tree, { kind: 'mm', wallMm }, { wallPerTriMm, work: partOfWork(work, 0.05, 0.7) });
  const wall = wallThickness(moved.mesh, buildBoundingTree(moved.mesh), partOfWork(work, 0.7, 1));
  return {
    mesh: moved.mesh,
    wallPerTriMm: wall.perTriMm,
    middleWallMm: areaPercentiles(wall, [0.5])[0]!,
    findings: wallFindings(moved, wallMm),
  };
}

/** Nine tenths of the wall are there already, to a fiftieth. */
function hasWall({ wallMm: { p5, p95 } }: ModelRecord, scale: number, wallMm: number): boolean {
  return Math.abs(p5 * scale - wallMm) < wallMm / 50 && Math.abs(p95 * scale - wallMm) < wallMm / 50;
}

function wallFindings(
  { mesh, off, worstVert, farthestMm, crossings, innerMm2 }: MovedWall,
  wallMm: number,
): readonly Finding[] {
  const where = { path: 'wearer' };
  const worn = (atMm: Vec3): Where => ({ ...where, space: 'worn', atMm });
  if (!(innerMm2 > 0))
    return [
      finding('WALL_UNMOVED', 'No inner surface was found that could be moved: the wall is as thick as it comes.', {
        where,
      }),
    ];
  const out: Finding[] = [
    finding(
      'WALL_KEPT',
      `The inner surface was moved by up to ${farthestMm.toFixed(2)} mm for a wall of ${wallMm.toFixed(1)} mm; nine tenths of it are between ${(wallMm * (1 + off.p5)).toFixed(2)} and ${(wallMm * (1 + off.p95)).toFixed(2)} mm.`,
      { where, measured: farthestMm, unit: 'mm' },
    ),
  ];
  if (Math.max(Math.abs(off.p5), Math.abs(off.p95)) > OFF_SHARE)
    out.push(
      finding(
        'WALL_UNMOVED',
        `In places the wall stays at ${(wallMm * (1 + off.worst)).toFixed(2)} mm: ribs, bosses and tight corners keep what they have.`,
        {
          where: worstVert === NONE ? where : worn(pointOf(mesh, worstVert)),
          measured: wallMm * (1 + off.worst),
          limit: wallMm,
          unit: 'mm',
        },
      ),
    );
  const more = crossings.after - crossings.before;
  if (more > 0)
    out.push(
      finding('MESH_CROSSES', `Moving the inner surface made it pass through itself at ${more} pairs of triangles.`, {
        where: crossings.firstAtMm === null ? where : worn(crossings.firstAtMm),
        measured: more,
        limit: 0,
      }),
    );
  return out;
}

function scaleBy(scale: number): Transform {
  return [scale, 0, 0, 0, scale, 0, 0, 0, scale, 0, 0, 0];
}

function pointOf({ positions }: Mesh, vert: number): Vec3 {
  return [positions[vert * 3]!, positions[vert * 3 + 1]!, positions[vert * 3 + 2]!];
}
