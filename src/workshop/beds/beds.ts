// The door of the Beds chapter: which pieces lie together, on which machine, and when each bed starts and ends.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { partOfWork, type Work } from '../../base/work.ts';
import { turnedLoop } from '../../geometry/bed-packing.ts';
import { outlineGap } from '../../geometry/outline-gap.ts';
import type { BedLoad, BedPlace, BedsRecord } from '../process/beds-record.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import type { PrintingRecord } from '../process/printing-record.ts';
import { type BedItem, bedItems } from './bed-items.ts';
import { bedsFindings } from './beds-findings.ts';
import type { BedsSettings } from './beds-settings.ts';
import { type MachineLoad, machineLoads, type PackedSets } from './machine-loads.ts';
import { planBySearch } from './plan-by-search.ts';
import { planExactly, stepsExactly } from './plan-exactly.ts';
import type { Plan, PlanProblem } from './plan-problem.ts';
import { type TimedLoad, timedLoads } from './spool-plan.ts';
import { handsFrom, wakingSpanS } from './waking.ts';

export { BedsChoices, BedsSettings } from './beds-settings.ts';

/** Plans that take more steps than this are searched for, not enumerated. */
export const MOST_STEPS = 1_000_000;

/** Beds, machines and hours for all copies. Space of the places: bed, mm. Cost: a pass over the triangles, then packings; docs/methods/bed-plan.md has the
 *  seconds. Refuses: BEDS_NO_HANDS when the waking hours are shorter than a changeover. */
export function computeBeds(
  inputs: { readonly joints: Pick<JointsRecord, 'pieces'>; readonly printing: PrintingRecord },
  settings: BedsSettings,
  work: ChapterWork,
): Outcome<BedsRecord> {
  const awakeMin = wakingSpanS(settings) / 60;
  if (settings.changeoverMin > awakeMin)
    return refuse(
      'BEDS_NO_HANDS',
      `A bed takes ${settings.changeoverMin} minutes of hands, but somebody is awake for ${awakeMin.toFixed(0)} minutes of a day only.`,
      { where: { path: 'beds.changeoverMin' } },
    );
  const items = bedItems(inputs, partOfWork(work, 0, 0.3));
  const counts = items.map(() => settings.copies);
  const packed: PackedSets = new Map();
  const { machines } = settings;
  const own = machines.map((machine, i) =>
    machineLoads(items, counts, machine, {
      settings,
      packed,
      work: partOfWork(work, 0.3 + (0.4 * i) / machines.length, 0.3 + (0.4 * (i + 1)) / machines.length),
    }),
  );
  const problem = problemOf(
    own.map(({ loads }) => loads),
    counts,
    settings,
  );
  const plan = planOf(problem, partOfWork(work, 0.7, 0.8));
  const apart = planOf(
    { ...problem, loads: problem.loads.map((loads) => loads.filter(isAlone)) },
    partOfWork(work, 0.8, 0.9),
  );
  const handsS = 60 * settings.changeoverMin;
  const alwaysAwake = planOf({ ...problem, nextStart: (endS) => endS + handsS }, partOfWork(work, 0.9, 1));
  const timed = plan.loads
    .map((loads) =>
      timedLoads(loads as readonly MachineLoad[], { settings, problem, gramsOf: (load) => gramsOf(load, items) }),
    )
    .filter((loads) => loads.length > 0);
  const loads = recordsOf(timed.flat(), items);
  const isExact = stepsExactly(problem) <= MOST_STEPS && own.every(({ cutShort }) => !cutShort);
  return done(
    {
      kind: 'beds',
      version: 1,
      copies: settings.copies,
      machines: machines.map(({ id, bedMm }) => ({ id, widthMm: bedMm[0], depthMm: bedMm[1] })),
      marginMm: settings.marginMm,
      gapMm: settings.gapMm,
      wakingFromH: settings.wakingFromH,
      wakingToH: settings.wakingToH,
      loads,
      outlines: items.map(({ piece, loops }) => ({ piece, loops })),
      startsS: problem.firstStartS,
      endsS: plan.endsS,
      lostS: plan.lostS,
      others: { apartS: apart.endsS, alwaysAwakeS: alwaysAwake.endsS },
      spools: timed.map((each) => ({
        machine: each[0]!.load.machine.id,
        filamentG: each.reduce((sum, { grams }) => sum + grams, 0),
        fresh: each.reduce((sum, { spoolEnds }) => sum + spoolEnds.length, 0),
      })),
      found: isExact ? 'exact' : 'search',
    },
    bedsFindings(loads),
  );
}

function problemOf(
  loads: readonly (readonly MachineLoad[])[],
  counts: readonly number[],
  settings: BedsSettings,
): PlanProblem {
  const handsS = 60 * settings.changeoverMin;
  return {
    counts,
    loads,
    aim: settings.aim,
    firstStartS: handsFrom(3600 * settings.startsH, 0, settings),
    nextStart: (endS) => handsFrom(endS, handsS, settings) + handsS,
  };
}

function planOf(problem: PlanProblem, work: Work): Plan {
  return stepsExactly(problem) <= MOST_STEPS ? planExactly(problem, work) : planBySearch(problem, work);
}

function isAlone({ counts }: { readonly counts: readonly number[] }): boolean {
  return counts.reduce((sum, count) => sum + count, 0) === 1;
}

function gramsOf({ places }: MachineLoad, items: readonly BedItem[]): number {
  return places.reduce((sum, { kind }) => sum + items[kind]!.filamentG + items[kind]!.supportG, 0);
}

/** In the order of their starts; copies are numbered in that order too. */
function recordsOf(timed: readonly TimedLoad[], items: readonly BedItem[]): readonly BedLoad[] {
  const printed = items.map(() => 0);
  return [...timed]
    .sort((one, other) => one.startsS - other.startsS)
    .map(({ load, startsS, endsS, leftG, spoolEnds }): BedLoad => {
      const sum = (of: (item: BedItem) => number): number =>
        load.places.reduce((total, { kind }) => total + of(items[kind]!), 0);
      return {
        machine: load.machine.id,
        places: load.places.map(({ kind, turnDeg, atMm }): BedPlace => {
          printed[kind]!++;
          return { piece: items[kind]!.piece, copy: printed[kind]!, turnDeg, atMm };
        }),
        startsS,
        endsS,
        filamentG: sum(({ filamentG }) => filamentG),
        supportG: sum(({ supportG }) => supportG),
        filamentM: sum(({ filamentM }) => filamentM),
        heightMm: Math.max(...load.places.map(({ kind }) => heightOf(items[kind]!, load.machine.id))),
        failingShare: load.failingShare,
        leftG,
        spoolEnds,
        gapMm: leastGap(load, items),
      };
    });
}

function heightOf({ on }: BedItem, machine: string): number {
  return on.find((each) => each.machine === machine)!.sizeMm[2];
}

function leastGap({ places }: MachineLoad, items: readonly BedItem[]): number | null {
  const laid = places.map(({ kind, turnDeg, atMm: [x, y] }) =>
    items[kind]!.loops.map((loop) => turnedLoop(loop, turnDeg).map((v, i) => v + (i % 2 === 0 ? x : y))),
  );
  let least = Infinity;
  for (const [i, one] of laid.entries())
    for (const other of laid.slice(i + 1)) least = Math.min(least, outlineGap(one, other));
  return Number.isFinite(least) ? least : null;
}
