// The division that a search starts from: the cuts asked for, each as deep in the tree as it has to be. What would leave a crumb or a sliver
// that no further cut could mend is refused before anything is searched.
import { type Outcome, type Refusal, refuse } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import { scaled } from '../../../geometry/three-by-three.ts';
import { type Mesh, NONE, type Vec3 } from '../../../mesh/mesh.ts';
import { askedWords } from '../../process/asked-seams.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import { type CutState, crumbsOf, cutByDivision } from '../cut/exact-division.ts';
import { volumeOf, widthOf } from '../cut/piece-measures.ts';
import { CRUMB_SHARE } from '../search/cut-costs.ts';
import type { Division } from '../search/division-search.ts';
import { findDivisions } from '../search/find-divisions.ts';
import type { DivisionTask } from '../search/proxy-part.ts';
import type { DivideSettings, WornSeam } from './asked-at-size.ts';
import { heldDivision, nearestSample, partAt, whereOf } from './asked-search.ts';

interface By {
  readonly settings: DivideSettings;
  readonly work: ChapterWork;
}

/** Cuts by the seams asked for alone. A seam that leaves a crumb or a sliver far from its own place is tried again after other cuts,
 *  those of the best divisions that are found without it. Refuses PIECES_SEAM_UNMET with what the seam leaves, and where beside its place it
 *  would not, or which other seam stands in its way.
 *  Cost: O(n) a seam; a search more for each that has to wait, some times O(n) when it refuses. */
export function heldStart(whole: MeshPart, task: DivisionTask, by: By): Outcome<Division> {
  let seams = by.settings.demands.seams;
  for (;;) {
    const held = heldDivision(task, seams, by.settings.scale);
    if (!held.ok || seams.length === 0) return held;
    const found = crumbOfHeld(whole, task, seams, by);
    if (found === null) return held;
    if ('ok' in found) return found;
    const later =
      found.isFar && found.seam.within.length === 0 ? afterOthers(whole, task, { ...by, seams, found }) : null;
    if (later === null) return crumbRefusal(whole, task, { ...by, seams, found });
    seams = later;
  }
}

/** Divisions found without a seam whose cuts are tried before it. */
const MOST_BEFORE = 3;

/** The seams with one made to wait for as few cuts as leave no crumb of it; null where none of the cuts tried helps. */
function afterOthers(
  whole: MeshPart,
  task: DivisionTask,
  by: By & { readonly seams: readonly WornSeam[]; readonly found: HeldCrumb },
): readonly WornSeam[] | null {
  const { settings, work, seams } = by;
  const { seam } = by.found;
  const others = seams.filter((one) => one !== seam);
  const start = heldDivision(task, others, settings.scale);
  if (!start.ok) return null;
  const without = { ...task, heldCuts: start.value.cuts.length };
  const divisions = findDivisions(without, partOfWork(work, 0.2, 0.3), start.value);
  const sample = nearestSample(task.samples, seam.firstMm);
  for (const division of divisions.best[settings.proposal].slice(0, MOST_BEFORE)) {
    const planes = partAt(division, sample).bounds.map(({ plane }) => plane);
    for (let count = 1; count <= planes.length; count++) {
      work.tick(0.3, 'looking for what a seam has to wait for');
      const waiting = seams.map((one) => (one === seam ? { ...seam, within: planes.slice(0, count) } : one));
      const after = crumbOfHeld(whole, task, waiting, by);
      if (after === null || (!('ok' in after) && after.seam.index !== seam.index)) return waiting;
    }
  }
  return null;
}

/** How far beside its place a seam is tried. */
const NUDGES_MM = [1.5, -1.5, 3, -3, 5, -5, 8, -8] as const;

function crumbRefusal(
  whole: MeshPart,
  task: DivisionTask,
  by: By & { readonly seams: readonly WornSeam[]; readonly found: HeldCrumb },
): Refusal {
  const { settings, work, seams } = by;
  const { seam, percent, widthMm, isFar } = by.found;
  const remedies: string[] = [];
  for (const byMm of NUDGES_MM) {
    work.tick(0.2, 'looking beside a seam asked for');
    const { normal, offsetMm } = seam.plane;
    const moved = { ...seam, plane: { normal, offsetMm: offsetMm + byMm } };
    const there = seams.map((one) => (one === seam ? moved : one));
    if (crumbOfHeld(whole, task, there, by) !== null) continue;
    remedies.push(`move it by ${Math.abs(byMm)} mm ${wayWords(scaled(normal, byMm))}, where it leaves none`);
    break;
  }
  const inItsWay = seams.find(
    (other) =>
      other.index !== seam.index &&
      crumbOfHeld(
        whole,
        task,
        seams.filter((one) => one !== other),
        by,
      ) === null,
  );
  if (inItsWay !== undefined)
    remedies.push(`let ${lowered(askedWords('seams', inItsWay.index))} go, without which it leaves none`);
  if (remedies.length === 0)
    remedies.push(
      'move it farther into the shell, lean it another way, or allow narrower pieces by a smaller least section',
    );
  const wanted = `at least ${100 * CRUMB_SHARE} percent and ${settings.leastSectionMm} mm are wanted`;
  const size = `${percent.toFixed(1)} percent of the mean piece and ${widthMm.toFixed(1)} mm wide`;
  return refuse(
    'PIECES_SEAM_UNMET',
    `${askedWords('seams', seam.index)} leaves a piece of ${size}${isFar ? ', also after the cuts that were tried before it' : ''}; ${wanted}.`,
    { where: whereOf(seam, settings.scale), tryThis: `${raised(remedies.join('; or '))}; or take it away.` },
  );
}

interface HeldCrumb {
  readonly seam: WornSeam;
  readonly percent: number;
  readonly widthMm: number;
  /** It lies elsewhere than the place at which the seam was asked for. */
  readonly isFar: boolean;
}

/** Farther from the first point of its seam than this a crumb is not what the seam was asked for to make. */
const FAR_MM = 15;

/** The first crumb that seams leave by themselves, and the seam that cut it off. */
function crumbOfHeld(
  whole: MeshPart,
  task: DivisionTask,
  seams: readonly WornSeam[],
  { settings, work }: By,
): HeldCrumb | Refusal | null {
  const held = heldDivision(task, seams, settings.scale);
  if (!held.ok) return held;
  const state: CutState = { shell: whole.mesh, mirrorX: null, cuts: [], moved: [] };
  const part = partOfWork(work, 0.2, 0.25);
  const cut = cutByDivision({ part: whole, path: [] }, held.value, task.samples.triSample, { work: part, state });
  if (!cut.ok) return cut;
  const crumb = crumbsOf(cut.value, CRUMB_SHARE, settings.leastSectionMm)[0];
  if (crumb === undefined) return null;
  // the last of the cuts whose faces it has: a cut on its way need not have touched it
  let last = NONE;
  for (const source of crumb.part.sourceTri) if (source < 0) last = Math.max(last, -1 - source);
  const plane = state.cuts[last]?.asked;
  const seam = seams.find((one) => one.plane === plane || one.within.some((bound) => bound === plane)) ?? seams.at(-1)!;
  const mean = cut.value.reduce((sum, one) => sum + volumeOf(one.part.mesh), 0) / cut.value.length;
  const percent = (100 * volumeOf(crumb.part.mesh)) / mean;
  const isFar = awayFrom(crumb.part.mesh, seam.firstMm) > FAR_MM;
  return { seam, percent, widthMm: widthOf(crumb.part.mesh), isFar };
}

/** From a point to the nearest vertex. */
function awayFrom({ positions: p }: Mesh, [x, y, z]: Vec3): number {
  let least = Infinity;
  for (let i = 0; i < p.length; i += 3)
    least = Math.min(least, (p[i]! - x) ** 2 + (p[i + 1]! - y) ** 2 + (p[i + 2]! - z) ** 2);
  return Math.sqrt(least);
}

/** "to the back": the way of a shift along the axis it goes most along. */
function wayWords(shift: Vec3): string {
  const size = shift.map(Math.abs);
  const axis = size[2]! >= size[0]! && size[2]! >= size[1]! ? 2 : size[1]! >= size[0]! ? 1 : 0;
  return WAYS[axis]![shift[axis] > 0 ? 0 : 1];
}

const WAYS = [
  ['to the left', 'to the right'],
  ['to the back', 'to the front'],
  ['up', 'down'],
] as const;

function lowered(words: string): string {
  return `${words.charAt(0).toLowerCase()}${words.slice(1)}`;
}

function raised(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
}
