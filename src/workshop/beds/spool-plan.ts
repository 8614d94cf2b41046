// Where the filament on a machine runs out, print after print, and in which order of prints that happens while somebody is awake.
import type { SpoolEnd } from '../process/beds-record.ts';
import type { BedsSettings } from './beds-settings.ts';
import type { MachineLoad } from './machine-loads.ts';
import { endOf, type PlanProblem } from './plan-problem.ts';
import { isAwake } from './waking.ts';

/** A load with its times and what it does to the spool. */
export interface TimedLoad {
  readonly load: MachineLoad;
  readonly startsS: number;
  readonly endsS: number;
  readonly grams: number;
  readonly leftG: number;
  readonly spoolEnds: readonly SpoolEnd[];
}

export interface SpoolSettings {
  readonly settings: BedsSettings;
  readonly problem: PlanProblem;
  readonly gramsOf: (load: MachineLoad) => number;
}

/** Up to so many prints all orders are tried. */
const ALL_ORDERS = 6;

/** One after the other on one machine, in the order that ends as early as this one and in which the fewest spools run out while nobody is awake; of more
 *  than six prints the order stays. A spool runs out once all its filament is laid: the next is put on then, and the time for that is not counted.
 *  Weak: filament is taken to be laid evenly over the time of a print. Cost: 720 orders at most. */
export function timedLoads(loads: readonly MachineLoad[], by: SpoolSettings): readonly TimedLoad[] {
  const given = timed(loads, by);
  if (asleepEnds(given) === 0 || loads.length > ALL_ORDERS) return given;
  const end = endOf(loads, by.problem);
  let best = given;
  for (const order of ordersOf(loads)) {
    if (endOf(order, by.problem) > end + 1e-6) continue;
    const other = timed(order, by);
    if (asleepEnds(other) < asleepEnds(best)) best = other;
  }
  return best;
}

function asleepEnds(loads: readonly TimedLoad[]): number {
  return loads.reduce((sum, { spoolEnds }) => sum + spoolEnds.filter(({ awake }) => !awake).length, 0);
}

function timed(loads: readonly MachineLoad[], { settings, problem, gramsOf }: SpoolSettings): TimedLoad[] {
  const timedSoFar: TimedLoad[] = [];
  const machine = loads[0]?.machine.id ?? '';
  let leftG = settings.leftG[machine] ?? settings.packG;
  for (const load of loads) {
    const last = timedSoFar.at(-1);
    const startsS = last === undefined ? problem.firstStartS : problem.nextStart(last.endsS);
    const grams = gramsOf(load);
    const spoolEnds: SpoolEnd[] = [];
    let laidG = 0;
    while (grams - laidG > leftG) {
      laidG += leftG;
      spoolEnds.push(endAt(load, { share: laidG / grams, startsS, settings }));
      leftG = settings.packG;
    }
    leftG -= grams - laidG;
    timedSoFar.push({ load, startsS, endsS: startsS + load.seconds, grams, leftG, spoolEnds });
  }
  return timedSoFar;
}

function endAt(
  { time, seconds }: MachineLoad,
  { share, startsS, settings }: { readonly share: number; readonly startsS: number; readonly settings: BedsSettings },
): SpoolEnd {
  const laying = time.layerS.reduce((sum, each) => sum + each, 0);
  let [layer, done] = [0, 0];
  while (layer < time.layerS.length && done + time.layerS[layer]! < share * laying) done += time.layerS[layer++]!;
  const { firstLayerMm, layerMm } = settings.print;
  const atS = startsS + (seconds - laying) + share * laying;
  return { atS, heightMm: firstLayerMm + layer * layerMm, awake: isAwake(atS, settings) };
}

function ordersOf(loads: readonly MachineLoad[]): MachineLoad[][] {
  if (loads.length <= 1) return [[...loads]];
  return loads.flatMap((load, i) => ordersOf(loads.filter((_, j) => j !== i)).map((rest) => [load, ...rest]));
}
