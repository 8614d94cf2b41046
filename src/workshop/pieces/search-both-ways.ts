// Both searches of a shell, among all cuts and among those that keep it mirrored, and what comes of them in one list.
import { partOfWork, type Work } from '../../base/work.ts';
import { evenDirections } from '../../geometry/half-sphere-directions.ts';
import { type Division, type DivisionSearch, searchDivisions, wholeDivision } from './division-search.ts';
import { type DivisionTask, MIRRORED_CUTS } from './proxy-part.ts';

/** Searches among all cuts and, on a mirrored shell, among those that keep it mirrored. Complete divisions with at most one piece
 *  more than the fewest, cheapest first: a mirrored one wins by what broken symmetry is charged. `start`: cuts made already. */
export function searchBothWays(task: DivisionTask, work: Work, start: Division = wholeDivision(task)): DivisionSearch {
  const directions = evenDirections(3);
  const any = searchDivisions(task, directions, partOfWork(work, 0, task.mirrorX === null ? 1 : 0.6), start);
  const fewestOfAny = Math.min(task.mostPieces - 1, ...any.complete.map((one) => one.leaves.length));
  const mirrored =
    task.mirrorX === null
      ? null
      : searchDivisions(
          { ...task, tries: MIRRORED_CUTS, mostPieces: fewestOfAny + 1 },
          directions,
          partOfWork(work, 0.6, 1),
          start,
        );
  const all = [...any.complete, ...(mirrored?.complete ?? [])];
  const fewest = Math.min(...all.map((one) => one.leaves.length));
  const complete = all.filter((one) => one.leaves.length <= fewest + 1).sort((a, b) => a.expectedMm - b.expectedMm);
  return {
    complete,
    planesTried: any.planesTried + (mirrored?.planesTried ?? 0),
    divisions: any.divisions + (mirrored?.divisions ?? 0),
    mostSeen: Math.max(any.mostSeen, mirrored?.mostSeen ?? 0),
  };
}
