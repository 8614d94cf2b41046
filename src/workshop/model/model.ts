// The door of the Model chapter: what did we get, is it sound, which way is up, where is it thin?
import { done, type Finding, finding, type Outcome } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import { findHollow, type Hollow } from '../../geometry/hollow.ts';
import { occupancyGrid } from '../../geometry/occupancy-grid.ts';
import { openingRim } from '../../geometry/opening-rim.ts';
import { sampleSurface } from '../../geometry/surface-points.ts';
import { symmetryPlane } from '../../geometry/symmetry-plane.ts';
import { areaPercentiles, type WallThickness, wallThickness } from '../../geometry/wall/wall-thickness.ts';
import { type BoundingTree, buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { bounds, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, numTris, type Vec3 } from '../../mesh/mesh.ts';
import { applyTransform, type Transform, turnVector } from '../../mesh/transform.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { MendedRecord, ModelRecord, Opening } from '../process/model-record.ts';
import { type Clues, findLevel, type Levelling } from './level.ts';
import type { ModelSettings } from './model-settings.ts';
import { otherUps } from './other-ups.ts';
import { type Pose, poseOf } from './pose.ts';
import { meanPoint, neckLikeness } from './rim.ts';
import { type SoundSolid, soundSolid } from './sound-solid.ts';
import { standingWays } from './standing.ts';

/** Mends, measures and levels what was read. Refuses what cannot be made solid (sound-solid.ts) and LEVEL_CONTRADICTS.
 *  Cost: about 12 s per million triangles, most of it looking for crossings, the bounding tree and the wall; mending beside that. */
export function computeModel(settings: ModelSettings, work: ChapterWork): Outcome<ModelRecord> {
  const sound = soundSolid(work.meshes.get(settings.mesh), settings.mend, partOfWork(work, 0, 0.4));
  if (!sound.ok) return sound;
  const { mesh } = sound.value;
  const tree = buildBoundingTree(mesh, partOfWork(work, 0.4, 0.5));
  const clues = lookForClues(mesh, tree, partOfWork(work, 0.5, 0.7));
  const level = findLevel(clues, settings.level);
  if (!level.ok) return level;
  const pose = poseOf(mesh, {
    up: level.value.up.way,
    front: level.value.front.way,
    mirror: level.value.mirror?.plane ?? null,
    turnDeg: settings.level.turnDeg ?? [0, 0, 0],
  });
  const wall = wallThickness(mesh, tree, partOfWork(work, 0.7, 0.98));
  const record: ModelRecord = {
    kind: 'model',
    version: 2,
    mesh: work.meshes.put(pose.mesh),
    fromFile: pose.fromFile,
    triangles: numTris(mesh),
    closed: true,
    mended: mendedRecord(settings.mesh, sound.value, pose.fromFile),
    bodies: sound.value.bodies,
    volumeMm3: sound.value.volumeMm3,
    areaMm2: sound.value.areaMm2,
    sizeMm: sizeOf(bounds(pose.mesh)),
    genus: sound.value.genus,
    wallPerTriMm: wall.perTriMm,
    wallMm: wallShares(wall),
    symmetry: symmetryOf(level.value, pose),
    up: {
      way: level.value.up.way,
      confidence: level.value.up.confidence,
      because: level.value.up.because,
      others: otherUps(clues, level.value),
    },
    front: {
      way: level.value.front.way,
      confidence: level.value.front.confidence,
      because: level.value.front.because,
    },
    openings: openingsOf(tree, clues.hollow, level.value, pose.fromFile),
  };
  return done(record, [...sound.findings, ...findingsOf(record)]);
}

/** Places of what was mended in model space, where the figure is. */
function mendedRecord(asRead: string, sound: SoundSolid, fromFile: Transform): MendedRecord {
  const moved = (at: Vec3 | null): Vec3 | null => (at === null ? null : applyTransform(fromFile, at));
  const { deviation } = sound;
  return {
    asRead,
    steps: sound.steps.map((step) => ({ ...step, atMm: moved(step.atMm) })),
    deviation:
      deviation === null ? null : { maxMm: deviation.maxMm, p99Mm: deviation.p99Mm, atMm: moved(deviation.atMm) },
    cellMm: sound.cellMm,
  };
}

/** What the level is judged by. Space: that of the mesh. Cost: about 0.4 s for 50,000 triangles. */
export function lookForClues(mesh: Mesh, tree: BoundingTree, work: ChapterWork): Clues {
  const grid = occupancyGrid(mesh, partOfWork(work, 0, 0.1));
  const symmetry = symmetryPlane(mesh, tree, partOfWork(work, 0.1, 0.7), { grid });
  const hollow = findHollow(tree, grid, symmetry.spanMm, partOfWork(work, 0.7, 0.9));
  const samples = sampleSurface(mesh, 2000, work.seed);
  const necks = (hollow?.gaps ?? [])
    .filter((gap) => gap.share >= LEAST_NECK_SHARE)
    .map((gap) => neckLikeness(gap, samples, symmetry.spanMm))
    .sort((a, b) => b.likeness - a.likeness);
  if (necks.length > 0) return { symmetry, hollow, necks, standing: [] };
  const normal = symmetry.ambiguous ? null : (symmetry.planes[0]?.plane.normal ?? null);
  return { symmetry, hollow: null, necks: [], standing: standingWays(mesh, work.solid, normal) };
}

/** Openings that take less of all directions are no way in for a head. */
const LEAST_NECK_SHARE = 0.04;

function wallShares(wall: WallThickness): ModelRecord['wallMm'] {
  const shares = [0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99];
  const [p1, p5, p25, p50, p75, p95, p99] = areaPercentiles(wall, shares);
  return { p1: p1!, p5: p5!, p25: p25!, p50: p50!, p75: p75!, p95: p95!, p99: p99! };
}

function symmetryOf(level: Levelling, pose: Pose): ModelRecord['symmetry'] {
  if (level.mirror === null || pose.mirror === null) return null;
  const { rmsMm, p95Mm } = level.mirror;
  return { plane: pose.mirror, rmsMm, p95Mm, confidence: level.mirrorConfidence };
}

function openingsOf(tree: BoundingTree, hollow: Hollow | null, level: Levelling, fromFile: Transform): Opening[] {
  if (hollow === null) return [];
  return hollow.gaps.map((gap) => ({
    name: gap === level.neck ? 'neck' : level.face?.gaps.includes(gap) ? 'front' : 'other',
    centreMm: applyTransform(fromFile, gap.rim.length > 0 ? meanPoint(gap.rim) : hollow.centreMm),
    outward: turnVector(fromFile, gap.outward),
    share: gap.share,
    rimMm: openingRim(tree, hollow.centreMm, gap).lengthMm,
  }));
}

function findingsOf(record: ModelRecord): Finding[] {
  const out: Finding[] = [];
  const where = { path: 'model' };
  if (record.up.confidence === 'unsure')
    out.push(finding('UP_UNSURE', 'Which way is up is a guess: look and correct it.', { where }));
  if (record.front.confidence === 'unsure')
    out.push(finding('FRONT_UNSURE', 'Which way is front is a guess: look and correct it.', { where }));
  if (record.symmetry === null)
    out.push(finding('SYMMETRY_NONE', 'No plane mirrors one half of the model to the other.', { where }));
  const smallest = Math.min(...record.sizeMm);
  if (record.wallMm.p50 > SOLID_SHARE * smallest) {
    out.push(
      finding(
        'MODEL_SOLID',
        `Half of the surface has more than ${record.wallMm.p50.toFixed(1)} mm of material behind it, on a smallest side of ${smallest.toFixed(1)} mm: this is a solid rather than a shell, and no head goes in. It is planned as it is.`,
        { where, measured: record.wallMm.p50, limit: SOLID_SHARE * smallest, unit: 'mm' },
      ),
    );
  }
  if (record.bodies > 1)
    out.push(
      finding(
        'MODEL_BODIES',
        `The model is ${record.bodies} solids that do not hang together; each becomes pieces of its own, and nothing joins them.`,
        { where, measured: record.bodies, limit: 1 },
      ),
    );
  return out;
}

/** A middle wall above this share of the smallest side is no wall: helms and masks measured here stay under 0.05. */
const SOLID_SHARE = 0.12;
