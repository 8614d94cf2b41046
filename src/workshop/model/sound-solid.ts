// From whatever was read to closed solids facing outward: mended exactly where that has one answer, asked about where it has not.
import { done, type Finding, finding, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import type { MendStep } from '../../geometry/mend/mend-step.ts';
import { mendSurface, type Rim } from '../../geometry/mend/mend-surface.ts';
import type { Deviation } from '../../geometry/mend/rebuild/deviation.ts';
import { rebuildSurface } from '../../geometry/mend/rebuild/rebuild.ts';
import { judgeShells, tidyShells } from '../../geometry/mend/shells.ts';
import type { SolidWork } from '../../geometry/solid/solid.ts';
import { bounds, sizeOf, surfaceArea, volume } from '../../mesh/measure.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import { surfaceCheck } from '../../mesh/topology.ts';
import { mendFindings } from './mend-words.ts';
import type { ModelMend } from './model-settings.ts';
import { untangle } from './untangle.ts';
import { wallSheets } from './wall-sheets.ts';
import { millimetres, place, plural } from './words.ts';

export interface SoundSolid {
  /** Closed, manifold, facing outward; file space, mm. */
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
  /** Null when every step was exact. */
  readonly deviation: Deviation | null;
  readonly cellMm: number | null;
  /** Solids that do not hang together. */
  readonly bodies: number;
  readonly genus: number;
  readonly volumeMm3: number;
  readonly areaMm2: number;
}

/** Mends what has one answer, then does with openings, overlaps and crossings what the settings say. A finding for every step.
 *  Refuses MESH_EMPTY, MESH_SHEET (openings to decide about), MESH_UNSOUND (not closed whatever was tried), and what rebuilding and
 *  the solid kernel refuse. Space: file. Cost: about 4 s per million triangles for a sound mesh, most of it looking for crossings. */
export function soundSolid(read: Mesh, mend: ModelMend, work: SolidWork): Outcome<SoundSolid> {
  if (numTris(read) === 0 || !(surfaceArea(read) > 0))
    return refuse('MESH_EMPTY', `The model has ${plural(numTris(read), 'triangle')} and no area.`);
  const surface = mendSurface(
    read,
    { openings: mend.openings === 'close' ? 'close' : 'keep' },
    partOfWork(work, 0, 0.2),
  );
  const tidied = tidyShells(surface.mesh, judgeShells(surface.mesh, partOfWork(work, 0.2, 0.25)));
  const start: Shaped = {
    mesh: tidied.mesh,
    steps: [...surface.steps, ...tidied.steps],
    deviation: null,
    cellMm: null,
    findings: [],
  };
  if (numTris(start.mesh) === 0) return refuse('MESH_EMPTY', 'The surface is folded flat and encloses nothing.');
  if (surface.oneSidedEdges > 0 && mend.openings === 'wall') return oneSided(surface.oneSidedEdges);
  const walled = surface.rims.length === 0 ? done(start) : aboutOpenings(start, surface.rims, mend, work);
  if (!walled.ok) return walled;
  const solid = mend.rebuild ? rebuilt(walled.value, mend, work) : untangled(walled.value, work);
  return solid.ok ? checked(solid.value) : solid;
}

/** What has become of the surface so far. */
interface Shaped {
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
  readonly deviation: Deviation | null;
  readonly cellMm: number | null;
  readonly findings: readonly Finding[];
}

function aboutOpenings(from: Shaped, rims: readonly Rim[], mend: ModelMend, work: SolidWork): Outcome<Shaped> {
  if (mend.openings === 'wall') {
    const walled = wallSheets(from.mesh, mend.sheetWallMm, partOfWork(work, 0.25, 0.5));
    if (!walled.ok) return walled;
    return done({ ...walled.value, steps: [...from.steps, ...walled.value.steps], findings: from.findings });
  }
  // Rebuilding closes openings by itself: inside is where the surface winds round at least half a time.
  return mend.rebuild ? done(from) : askAbout(rims);
}

function askAbout(rims: readonly Rim[]): Refusal {
  const named = rims
    .slice(0, 3)
    .map(({ lengthMm, atMm }) => `${millimetres(lengthMm)} round about ${place(atMm)}`)
    .join('; ');
  const more = rims.length > 3 ? `; and ${rims.length - 3} smaller` : '';
  const why = `The surface is a sheet without thickness, with ${plural(rims.length, 'large opening')}: ${named}${more} of the file. It can be given a wall inward, or its openings can be closed with lids.`;
  return refuse('MESH_SHEET', why, { where: { path: 'model', space: 'file', atMm: rims[0]!.atMm } });
}

/** A band with a twist: what is outward at one end of it is inward at the other. */
function oneSided(edges: number): Refusal {
  return refuse(
    'MESH_UNSOUND',
    `The surface has one side only: going round it, inside becomes outside (it was cut open along ${plural(edges, 'edge')}). No wall inward can be given to it.`,
    {
      tryThis: 'Close its openings with lids (--openings close), or model it with a thickness.',
      where: { path: 'model' },
    },
  );
}

function rebuilt(from: Shaped, mend: ModelMend, work: SolidWork): Outcome<Shaped> {
  const cellMm = Math.max(...sizeOf(bounds(from.mesh))) / mend.rebuildCells;
  const outcome = rebuildSurface(from.mesh, { cellMm }, partOfWork(work, 0.5, 0.95));
  if (!outcome.ok) return outcome;
  const { mesh, deviation, lostAreaMm2, lostAtMm, crossings } = outcome.value;
  const step: MendStep = { kind: 'surface-rebuilt', count: 1, largestMm: deviation.maxMm, atMm: deviation.atMm };
  const lost = lostAreaMm2 / surfaceArea(from.mesh);
  const findings = [...from.findings];
  const where = lostAtMm === null ? { path: 'model' } : { path: 'model', space: 'file' as const, atMm: lostAtMm };
  if (lost > LOST_SHARE)
    findings.push(
      finding(
        'REBUILD_LOST',
        `${(lost * 100).toFixed(1)} percent of the surface read is gone: sheets without thickness and walls thinner than a cell of ${millimetres(cellMm)} bound nothing that can be rebuilt.`,
        { where, measured: lost * 100, limit: LOST_SHARE * 100, unit: 'percent' },
      ),
    );
  const made = { mesh, steps: [...from.steps, step], deviation: worse(from.deviation, deviation), cellMm, findings };
  return crossings === 0 ? done(made) : untangled(made, work);
}

/** A smaller share of the surface may vanish without a word. */
const LOST_SHARE = 0.005;

function untangled(from: Shaped, work: SolidWork): Outcome<Shaped> {
  const outcome = untangle(from.mesh, partOfWork(work, 0.5, 0.95));
  if (!outcome.ok) return outcome;
  const { mesh, steps } = outcome.value;
  return done({ ...from, mesh, steps: [...from.steps, ...steps], findings: [...from.findings, ...outcome.findings] });
}

function checked(solid: Shaped): Outcome<SoundSolid> {
  const { mesh, steps, deviation, cellMm } = solid;
  const check = surfaceCheck(mesh);
  if (!check.manifold || !check.closed) {
    const what = [
      check.openEdges > 0 ? plural(check.openEdges, 'open edge') : '',
      check.crowdedEdges > 0 ? `${plural(check.crowdedEdges, 'edge')} with more than two faces` : '',
      check.clashingEdges > 0 ? `${plural(check.clashingEdges, 'edge')} whose faces run against each other` : '',
      check.pinchedVerts > 0 ? `${plural(check.pinchedVerts, 'point')} where it only touches itself` : '',
    ].filter((words) => words !== '');
    const at = check.firstFaultAtMm;
    return refuse(
      'MESH_UNSOUND',
      `After mending the surface still has ${what.join(', ')}${at === null ? '' : `, the first at ${place(at)} of the file`}.`,
      at === null ? {} : { where: { path: 'model', space: 'file', atMm: at } },
    );
  }
  const { shells } = judgeShells(mesh, { tick: () => {}, seed: 1 });
  const volumeMm3 = volume(mesh);
  if (!(volumeMm3 > 0)) return refuse('MESH_EMPTY', 'The surface encloses nothing.');
  return done(
    {
      mesh,
      steps,
      deviation,
      cellMm,
      bodies: shells.filter(({ role }) => role === 'solid').length,
      genus: check.genus,
      volumeMm3,
      areaMm2: surfaceArea(mesh),
    },
    [...mendFindings(steps), ...solid.findings],
  );
}

function worse(a: Deviation | null, b: Deviation): Deviation {
  return a === null || b.maxMm >= a.maxMm ? b : a;
}
