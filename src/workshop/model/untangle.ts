// Solids that overlap are united, and a surface that passes through itself bounds afterwards what it winds round.
import { done, type Finding, finding, type Outcome } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import { type SelfCrossings, selfCrossings } from '../../geometry/crossings/self-crossings.ts';
import type { MendStep } from '../../geometry/mend/mend-step.ts';
import { partTouching } from '../../geometry/mend/part-touching.ts';
import { judgeShells, tidyShells } from '../../geometry/mend/shells.ts';
import { uncross } from '../../geometry/mend/uncross/uncross.ts';
import { uniteShells } from '../../geometry/mend/unite-shells.ts';
import type { SolidWork } from '../../geometry/solid/solid.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { place, plural } from './words.ts';

export interface Untangled {
  readonly mesh: Mesh;
  readonly steps: readonly MendStep[];
}

/** mesh: closed shells facing outward, cavities inward. Crossings are cut exactly, in double precision; where that leaves some, the
 *  solid kernel unites the shells first, and whichever leaves fewer is taken. What does not cross comes back as it was. Crossings
 *  that remain are a finding. Refuses what the solid kernel refuses. */
export function untangle(mesh: Mesh, work: SolidWork): Outcome<Untangled> {
  const crossings = selfCrossings(mesh, partOfWork(work, 0, 0.3));
  if (crossings.pairs === 0) return swallow(mesh, crossings, work);
  const cut =
    crossings.pairs > MOST_CUT_PAIRS
      ? { mesh, steps: [], pairsLeft: crossings.pairs }
      : uncross(mesh, partOfWork(work, 0.3, 0.7));
  if (cut.pairsLeft === 0) return swallowAfter(cut, work);
  const united = uniteShells(mesh, judgeShells(mesh, work), crossings, work.solid);
  if (!united.ok || united.value.mesh === mesh) return swallowAfter(cut, work);
  const again = cutAgain(united.value.mesh, partOfWork(work, 0.7, 0.9));
  if (again.pairsLeft >= cut.pairsLeft) return swallowAfter(cut, work);
  return swallowAfter({ ...again, steps: [...united.value.steps, ...again.steps] }, work);
}

/** More crossings than this come from parts that lie on each other over whole areas: cutting them one by one takes minutes and
 *  leaves many; whole shells are united at once. */
const MOST_CUT_PAIRS = 100_000;

function cutAgain(mesh: Mesh, work: SolidWork): Cut {
  const { pairs } = selfCrossings(mesh, partOfWork(work, 0, 0.2));
  return pairs > MOST_CUT_PAIRS ? { mesh, steps: [], pairsLeft: pairs } : uncross(mesh, partOfWork(work, 0.2, 1));
}

interface Cut extends Untangled {
  readonly pairsLeft: number;
}

function swallowAfter({ mesh, steps, pairsLeft }: Cut, work: SolidWork): Outcome<Untangled> {
  const left = pairsLeft === 0 ? NO_CROSSINGS : selfCrossings(mesh, partOfWork(work, 0.9, 0.95));
  const outcome = swallow(mesh, left, work);
  if (!outcome.ok) return outcome;
  return done({ mesh: outcome.value.mesh, steps: [...steps, ...outcome.value.steps] }, leftFindings(left));
}

/** Solids wholly within others add nothing and go; nothing else is left to unite. What only touches is parted. */
function swallow(
  mesh: Mesh,
  crossings: Pick<SelfCrossings, 'pairList' | 'firstAtMm'>,
  work: SolidWork,
): Outcome<Untangled> {
  const united = uniteShells(
    mesh,
    judgeShells(mesh, partOfWork(work, 0.95, 1)),
    { ...crossings, pairList: NO_PAIRS },
    work.solid,
  );
  if (!united.ok) return united;
  const parted = partTouching(united.value.mesh);
  // Cutting along crossings can leave dust between surfaces that lie on each other.
  const tidied = tidyShells(parted.mesh, judgeShells(parted.mesh, work));
  return done({ mesh: tidied.mesh, steps: [...united.value.steps, ...parted.steps, ...tidied.steps] });
}

const NO_PAIRS = new Int32Array();
const NO_CROSSINGS = { pairs: 0, pairList: NO_PAIRS, firstAtMm: null };

function leftFindings({ pairs, firstAtMm }: Pick<SelfCrossings, 'pairs' | 'firstAtMm'>): readonly Finding[] {
  if (pairs === 0 || firstAtMm === null) return [];
  return [
    finding(
      'MESH_CROSSES',
      `The surface still passes through itself at ${plural(pairs, 'pair')} of triangles, the first at ${place(firstAtMm)} of the file. Volumes and cuts there are those of the surface as it is.`,
      { where: { path: 'model', space: 'file', atMm: firstAtMm }, measured: pairs, limit: 0 },
    ),
  ];
}
